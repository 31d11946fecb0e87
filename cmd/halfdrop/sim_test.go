//go:build linux || darwin

package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/serial"
)

// window is the simulated bench of one window: its port, and what is typed in it.
type window struct {
	*station
	path string
	keys io.Writer
	talk *bytes.Buffer // to be read after stop
	stop func()
}

// openWindow starts the bench on a pseudo-terminal in this process.
func openWindow(t *testing.T, s simulation, every time.Duration) *window {
	t.Helper()
	w := &window{station: newStation(t, s), path: filepath.Join(t.TempDir(), "bench"), talk: &bytes.Buffer{}}
	port, err := openVirtualPort(w.path)
	if err != nil {
		t.Skipf("NOT RUN: nothing was tried over a serial line, for there is no pseudo-terminal here: %v", err)
	}
	in, keys := io.Pipe()
	w.keys = keys
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- serve(ctx, port, w.station, every, in, io.Discard, w.talk) }()
	stopped := false
	w.stop = func() {
		if stopped {
			return
		}
		stopped = true
		cancel()
		assert.NoError(t, <-done)
		keys.Close()
		assert.NoError(t, port.Close())
		_, err := os.Lstat(w.path)
		assert.ErrorIs(t, err, os.ErrNotExist, "the link is taken away")
	}
	t.Cleanup(w.stop)
	return w
}

// The coach in one window, the beaker in the other: the way of a titration
// over the serial port, from the first reading to the stop. Both run twenty
// times as fast, on one clock.
func TestTitrateOverThePort(t *testing.T) {
	t.Parallel() // it mostly waits
	s := typing()
	s.speed = 20
	w := openWindow(t, s, 25*time.Millisecond)
	source, err := serial.Open(serial.Config{Name: w.path})
	require.NoError(t, err)
	plan, err := (&titration{}).plan()
	require.NoError(t, err)
	start := time.Now()
	first, err := startEvent(plan, start, source.String(), "")
	require.NoError(t, err)
	keeper, err := run.NewKeeper(first, &run.Discard{}, func(s float64) time.Time { return start.Add(time.Duration(s * 1e9)) })
	require.NoError(t, err)
	session := run.NewSession(keeper, source, w.clock.Seconds, nil)
	ctx, cancel := context.WithTimeout(context.Background(), 90*time.Second)
	defer cancel()
	ended := make(chan error, 1)
	go func() { ended <- session.Run(ctx) }()
	last, additions := follow(t, w, session)
	cancel()
	<-ended
	require.Equal(t, coach.Stop, last.Advice.Do, "it came to no end: %s, %s", last.Sentence(), last.Why())
	made := w.bench.MadeUp()
	t.Logf("%d additions in %.0f simulated s; made up it would read %.3f, wanted %.2f ± %.2f", additions, last.T, made, last.Target, last.Tolerance)
	assert.InDelta(t, last.Target, made, last.Tolerance+0.01)
	assert.Equal(t, meter.Live.String(), last.Link)
	assert.Zero(t, last.Refused)
}

// follow does what the coach says, in both windows, until it says stop.
func follow(t *testing.T, w *window, session *run.Session) (last run.View, additions int) {
	t.Helper()
	for v := range session.Views() {
		last = v
		switch v.Advice.Do {
		case coach.Stop:
			return last, additions
		case coach.Check:
			session.Post(run.Intent{Kind: run.WantConfirm})
		case coach.Add:
			if len(v.Entries) < additions {
				continue // the one just made is not in the view yet
			}
			additions++
			amount := fmt.Sprintf("%g drops", v.Advice.Drops)
			if v.Advice.Drops == 0 {
				amount = fmt.Sprintf("%g mL", v.Advice.Volume.Millilitres())
			}
			fmt.Fprintf(w.keys, "%s of %s\n", amount, v.Titrant)
			session.Post(run.Intent{Kind: run.WantAdd, Titrant: v.Titrant, Drops: v.Advice.Drops, ML: v.Advice.Volume.Millilitres()})
		}
	}
	return last, additions
}

// The calibration in one window, the electrode in the other: slope and offset
// are those that the bench was made with.
func TestCalibrateOverThePort(t *testing.T) {
	t.Parallel() // it mostly waits
	s := typing()
	s.speed, s.sends = 20, "mv"
	w := openWindow(t, s, 25*time.Millisecond)
	source, err := serial.Open(serial.Config{Name: w.path})
	require.NoError(t, err)
	c := &calibration{standards: []string{"7.00", "4.01"}, check: "9.18", set: "technical"}
	choices, _, err := c.choices()
	require.NoError(t, err)
	start := time.Now()
	wall := func(s float64) time.Time { return start.Add(time.Duration(s * 1e9)) }
	talk, told := io.Pipe()
	r := &rig{source: source, now: w.clock.Seconds, wall: wall, out: io.Discard, talk: told}
	r.proc = calib.NewProcedure(choices, 25, wall)
	lines := make(chan string, 1)
	go func() { // the person, who reads the prompts
		for sc := bufio.NewScanner(talk); sc.Scan(); {
			for _, ch := range choices {
				if strings.Contains(sc.Text(), "of 3: standard "+ch.Standard.String()) {
					fmt.Fprintf(w.keys, "rinse\ninto %s\n", ch.Standard.Name)
				}
			}
			if strings.Contains(sc.Text(), "Enter when it is in") {
				lines <- ""
			}
		}
	}()
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	require.NoError(t, r.lead(ctx, lines))
	told.Close()
	points, check := r.proc.Points()
	got, err := calib.Judge(calib.About{At: wall(r.now())}, points, check)
	require.NoError(t, err)
	truth := w.bench.Truth()
	t.Log(got.Summary())
	assert.InDelta(t, 100*(1+truth.Slope), got.SlopePct, 2*got.SlopeSD)
	assert.Less(t, got.SlopeSD, 1.5, "a spread that says nothing would be true as well")
	assert.InDelta(t, -truth.Offset*calib.NernstSlope(21), got.OffsetMV, 2*got.OffsetSD)
	assert.True(t, got.Usable())
	require.NotNil(t, got.Check)
	// Applied to the potential in a third liquid it gives its pH.
	mv := (7 - (8.2 + truth.Offset + truth.Slope*1.2)) * calib.NernstSlope(21)
	assert.InDelta(t, 8.2, got.Apply(mv, chem.Celsius(21)), 2*got.SpreadAt(8.2, 21))
}

// Nobody listens for a long time, then somebody does: no old line comes first,
// and the meter never waited.
func TestPortThatNobodyReads(t *testing.T) {
	w := openWindow(t, typing(), 10*time.Millisecond)
	port, err := openVirtualPort("")
	require.NoError(t, err)
	full := false
	for n := 0; n < 50_000 && !full; n++ {
		began := time.Now()
		_, err := io.WriteString(port, "pH 7.02 25.1 C and then some\r\n")
		require.NoError(t, err)
		full = time.Since(began) >= writeWait
	}
	assert.True(t, full, "the line was never full")
	require.NoError(t, port.Close())
	require.NoError(t, port.Close(), "twice is once")
	source, err := serial.Open(serial.Config{Name: w.path})
	require.NoError(t, err)
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	reports := make(chan meter.Report)
	go func() { _ = source.Run(ctx, reports) }()
	for rep := range reports {
		if rep.Kind == meter.GotReading {
			assert.False(t, math.IsNaN(rep.Reading.Value))
			return
		}
		if rep.Kind == meter.GotBadLine {
			assert.ErrorContains(t, rep.Err, "beginning", "a port is opened in the middle of a line")
		}
	}
}

func TestLinks(t *testing.T) {
	dir := t.TempDir()
	file, old := filepath.Join(dir, "file"), filepath.Join(dir, "old")
	require.NoError(t, os.WriteFile(file, []byte("mine"), 0o600))
	_, err := openVirtualPort(file)
	require.ErrorContains(t, err, "is no link")
	kept, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, "mine", string(kept))
	require.NoError(t, os.Symlink("/nowhere", old))
	p, err := openVirtualPort(old)
	require.NoError(t, err)
	assert.Equal(t, old, p.Name())
	require.NoError(t, os.Remove(old))
	require.NoError(t, os.Symlink("/elsewhere", old))
	require.NoError(t, p.Close())
	to, err := os.Readlink(old)
	require.NoError(t, err)
	assert.Equal(t, "/elsewhere", to, "the link of somebody else stays")
}

// The command as a process: the name of the port on the standard output, typed
// lines answered, the end by Ctrl-C clean, the plan for the other window.
func TestSimAsAProcess(t *testing.T) {
	dir := t.TempDir()
	link, plan := filepath.Join(dir, "bench"), filepath.Join(dir, "demo.toml")
	cmd := program(t, "sim", "--seed", "3", "--link", link, "--save-plan", plan, "--every", "20ms")
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	var talk bytes.Buffer
	cmd.Stderr = &talk
	require.NoError(t, cmd.Start())
	lines := bufio.NewReader(out)
	name, err := lines.ReadString('\n')
	require.NoError(t, err)
	assert.Equal(t, link+"\n", name)
	source, err := serial.Open(serial.Config{Name: link})
	require.NoError(t, err)
	require.NoError(t, source.Close())
	fmt.Fprint(in, "6 NaOH 1 M\npH\n")
	shown, err := lines.ReadString('\n')
	require.NoError(t, err)
	assert.Regexp(t, `^pH -?\d+\.\d+ 21\.0 C\n$`, shown)
	require.NoError(t, cmd.Process.Signal(os.Interrupt))
	require.NoError(t, cmd.Wait(), talk.String())
	assert.Contains(t, talk.String(), "6 drops of NaOH 1 M in the beaker")
	assert.Contains(t, talk.String(), "halfdrop titrate --port "+link+" --plan "+plan)
	_, err = os.Lstat(link)
	require.ErrorIs(t, err, os.ErrNotExist)
	_, err = planfile.Load(plan)
	require.NoError(t, err)
	again := program(t, "sim", "--save-plan", plan)
	said, err := again.CombinedOutput()
	require.Error(t, err)
	assert.Contains(t, string(said), "not written over a file")
}
