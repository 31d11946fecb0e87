package main

import (
	"bytes"
	"context"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/shelf"
)

// runCalibrate is what `halfdrop calibrate` prints, its exit status and its talk.
func runCalibrate(t *testing.T, in io.Reader, args ...string) (out string, status int, told string) {
	t.Helper()
	var talk bytes.Buffer
	out, status = calibrateWith(in, &talk, args...)
	return out, status, talk.String()
}

func calibrateWith(in io.Reader, talk io.Writer, args ...string) (out string, status int) {
	cmd := newCalibrateCommand()
	cmd.SilenceErrors, cmd.SilenceUsage = true, true
	var stdout bytes.Buffer
	cmd.SetIn(in)
	cmd.SetOut(&stdout)
	cmd.SetErr(talk)
	cmd.SetArgs(append([]string{}, args...)) // nil would mean those of the test
	status = tell(talk, cmd.Execute())
	return stdout.String(), status
}

// attended is a calibration with a person who presses Enter at each prompt.
func attended(args ...string) (out string, status int, told string) {
	p := newPerson("\n")
	out, status = calibrateWith(keyboard{p}, p, args...)
	return out, status, p.String()
}

// person reads what is said and answers the prompts: the talk is written to
// it, and what it types is read from it.
type person struct {
	bytes.Buffer
	keys   chan string
	answer string // to each prompt
}

func newPerson(answer string) *person { return &person{keys: make(chan string, 16), answer: answer} }

func (p *person) Write(b []byte) (int, error) {
	if strings.Contains(string(b), "Enter when it is in") {
		p.keys <- p.answer
	}
	return p.Buffer.Write(b)
}

// keyboard is what it types with.
type keyboard struct{ *person }

func (h keyboard) Read(b []byte) (int, error) { return copy(b, <-h.keys), nil }

func TestCalibrateUsage(t *testing.T) {
	for _, tc := range []struct{ args, said string }{
		{"", "no source of readings"},
		{"--sim --port x", "exclude each other"},
		{"--history --sim", "calibrates nothing"},
		{"--port x --speed 2", "--speed is for the simulator"},
		{"--sim --speed 0", "outside 0.1–1000"},
		{"--sim --temp 99", "outside 0.5–60 °C"},
		{"--sim --set mine", "no set of standards"},
		{"--sim --standards 7.00", "two or three standards are wanted"},
		{"--sim --standards 7.00,7", "named twice"},
		{"--sim --standards 7.00,5.5", "no such standard"},
		{"--sim --standards 7.00,4.01 --check 11", "no such standard"},
		{"--sim --standards 4.00,7.00", "may be more than one liquid: 4.01"},
		{"--sim --standards 7.00,10.00", "may be more than one liquid: 10.01"},
		{"--sim --standards 6.86,9.18,12.45 --temp 52", "nothing is known of"},
		{"--sim --standards 7.00,4.01 --expiry 7.00=soon", `"soon" is no date`},
		{"--sim --standards 7.00,4.01 --lot 10.01=A1", "--lot: standard 10.01 is not among those that are read"},
		{"--sim --send volts --standards 7.00,4.01", "not one of ph, mv, both"},
	} {
		_, status, told := runCalibrate(t, strings.NewReader(""), strings.Fields(tc.args)...)
		assert.Equal(t, exitUsage, status, tc.args)
		assert.Contains(t, told, tc.said, tc.args)
	}
	_, status, told := runCalibrate(t, strings.NewReader(""), "--port", filepath.Join(t.TempDir(), "none"))
	assert.Equal(t, exitFailed, status)
	assert.Contains(t, told, "no such port")
}

func names(list []calib.Choice) string {
	var out []string
	for _, ch := range list {
		name := ch.Standard.Name
		if ch.Check {
			name += "?"
		}
		out = append(out, name)
	}
	return strings.Join(out, " ")
}

func TestCalibrateChoices(t *testing.T) {
	plan := filepath.Join(t.TempDir(), "plan.toml")
	require.NoError(t, os.WriteFile(plan, planfile.Demo, 0o600)) // its aim is about pH 7.3 at the bench
	for _, tc := range []struct {
		c    calibration
		want string
		why  string
	}{
		{calibration{target: math.NaN()}, "7.00 4.01 10.01", "no aim is known"},
		{calibration{target: 5}, "7.00 4.01", "on both sides of the target, pH 5.00"},
		{calibration{target: 8.5, check: "9.21"}, "7.00 10.01 9.21?", "on both sides"},
		{calibration{target: 2}, "7.00 4.01", "lies outside of them"},
		{calibration{target: math.NaN(), planPath: plan}, "7.00 10.01", "on both sides of the aim of the plan, pH 7.3"},
		{calibration{target: 8.5, set: "primary"}, "6.86 9.18", "on both sides"},
		{calibration{standards: []string{"4.01", "7.00"}, lots: map[string]string{"7": "A12"}}, "4.01 7.00", ""},
	} {
		if tc.c.set == "" {
			tc.c.set = string(calib.Technical)
		}
		list, why, err := tc.c.choices()
		require.NoError(t, err, tc.want)
		assert.Equal(t, tc.want, names(list))
		assert.Contains(t, why, tc.why)
		for _, ch := range list {
			if tc.c.lots != nil && ch.Standard.Name == "7.00" {
				assert.Equal(t, "A12", ch.Lot)
			} else {
				assert.Empty(t, ch.Lot)
			}
		}
	}
}

// From the prompts to the history on the simulated electrode, through the
// command itself; what was kept is what was shown.
func TestCalibrateSimulated(t *testing.T) {
	file := filepath.Join(t.TempDir(), "deep", "history.jsonl")
	out, status, told := attended("--sim", "--seed", "4", "--speed", "60", "--standards", "7.00,4.01",
		"--electrode", "E7", "--operator", "the one at the plate", "--lot", "7.00=A12", "--expiry", "7.00=2099-12", "--file", file)
	require.Equal(t, exitOK, status, told)
	assert.Regexp(t, `^slope \d+\.\d ± \d\.\d %, offset [+-]\d+\.\d ± \d\.\d mV at 21\.0 °C: accepted\n`, out)
	for _, want := range []string{"USP <791>", "a judgement", "pass   slope", "7.00   pH 7.016"} {
		assert.Contains(t, out, want)
	}
	for _, want := range []string{"1 of 2: standard 7.00", "2 of 2: standard 4.01", "blot", "settled after", "safety data sheet", "kept in " + file} {
		assert.Contains(t, told, want)
	}
	h, err := shelf.LoadHistory(file)
	require.NoError(t, err)
	require.Len(t, h.List, 1)
	c := h.List[0]
	assert.True(t, strings.HasPrefix(out, c.Summary()))
	assert.Equal(t, "E7", c.Electrode)
	assert.Equal(t, "the one at the plate", c.Operator)
	assert.Equal(t, "A12", c.Points[0].Lot)
	assert.Equal(t, "2099-12", c.Points[0].Expiry)
	assert.Equal(t, calib.SendsMV, c.Sends)
}

// A meter that sends only pH is checked.
func TestCalibrateChecksAMeter(t *testing.T) {
	out, _, told := attended("--sim", "--seed", "4", "--speed", "60", "--standards", "7.00,4.01", "--send", "ph")
	assert.Contains(t, out, "check of the meter at 21.0 °C")
	assert.Contains(t, out, "changes no reading")
	assert.Contains(t, told, "not kept, it was the simulated electrode")
}

func TestCalibrateBrokenOff(t *testing.T) {
	_, status, told := runCalibrate(t, strings.NewReader("q\n"), "--sim")
	assert.Equal(t, exitInterrupted, status)
	assert.Contains(t, told, "nothing was kept")
	_, status, told = runCalibrate(t, strings.NewReader(""), "--sim")
	assert.Equal(t, exitFailed, status)
	assert.Contains(t, told, "the input ended before all standards were read")
	p := newPerson("\nq\n")
	_, status = calibrateWith(keyboard{p}, p, "--sim")
	assert.Equal(t, exitInterrupted, status, p.String())
}

// handRig is a rig driven by hand: each reading takes half a second.
type handRig struct {
	*rig
	t         *testing.T
	out, talk bytes.Buffer
	clock     float64
}

func byHand(t *testing.T, c *calibration) *handRig {
	t.Helper()
	choices, _, err := c.choices()
	require.NoError(t, err)
	h := &handRig{t: t}
	wall := func(s float64) time.Time {
		return time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC).Add(time.Duration(s * 1e9))
	}
	h.rig = &rig{now: func() float64 { return h.clock }, wall: wall, out: &h.out, talk: &h.talk}
	h.proc = calib.NewProcedure(choices, 25, wall)
	h.prompt()
	return h
}

// show lets readings of a potential, mV, come for some seconds.
func (h *handRig) show(mv, seconds float64) {
	h.t.Helper()
	for end := h.clock + seconds; h.clock < end; {
		h.clock += 0.5
		r := meter.Reading{Quantity: meter.Millivolt, Value: mv, Decimals: 1, TempC: 22, HasTemp: true}
		require.NoError(h.t, h.take(meter.Report{Kind: meter.GotReading, Reading: r}))
	}
}

func (h *handRig) says(text string) {
	h.t.Helper()
	require.NoError(h.t, h.answer(text, true))
}

// An electrode that shows the same everywhere: the person is asked and insists;
// the result names the likely causes, is kept, and is refused. No reason makes a
// line of it.
func TestCalibrateAlike(t *testing.T) {
	for _, reason := range []string{"", "to see what it says"} {
		c := &calibration{standards: []string{"7.00", "4.01"}, set: "technical", file: filepath.Join(t.TempDir(), "history.jsonl"), accept: reason}
		h := byHand(t, c)
		h.says("take")
		assert.Contains(t, h.talk.String(), "Enter: the electrode is in")
		h.says("")
		h.show(3, 140)
		require.Contains(t, h.talk.String(), "2 of 2: standard 4.01")
		h.says("")
		h.show(3, 140)
		require.Contains(t, h.talk.String(), "it reads as 7.00 should: is the electrode in that beaker?")
		h.says("again")
		h.says("")
		h.show(3, 140)
		h.says("take")
		require.Equal(t, calib.Done, h.proc.Stage())
		points, check := h.proc.Points()
		result, err := calib.Judge(calib.About{At: h.wall(h.clock)}, points, check)
		require.NoError(t, err)
		status := tell(&h.talk, c.conclude(h.rig, c.insist(result)))
		assert.Contains(t, h.out.String(), "4.01 and 7.00 read alike")
		assert.Contains(t, h.out.String(), "not accepted")
		assert.Contains(t, h.out.String(), "taken by hand")
		assert.NotContains(t, h.out.String(), "used all the same")
		assert.Equal(t, exitMissed, status)
		if reason == "" {
			assert.Contains(t, h.talk.String(), "halfdrop: error: the calibration is not accepted")
		} else {
			assert.Contains(t, h.talk.String(), "no reason makes a line of this: slope ")
		}
		kept, err := shelf.LoadHistory(c.file)
		require.NoError(t, err)
		assert.Len(t, kept.List, 1, "a refused one is kept as well")
	}
}

// What happens to the line is told, and a bad line is one reading less.
func TestCalibrateTellsOfTheLine(t *testing.T) {
	h := byHand(t, &calibration{standards: []string{"7.00", "4.01"}, set: "technical"})
	require.NoError(t, h.take(meter.Report{Kind: meter.GotLink, Link: meter.Lost, Text: "the line is gone"}))
	require.NoError(t, h.take(meter.Report{Kind: meter.GotBadLine, Text: "xx"}))
	assert.Contains(t, h.talk.String(), "halfdrop: the line is gone")
	h.says("")
	h.says("take")
	assert.Contains(t, h.talk.String(), "not taken: calib: standard 7.00: a point without a finite value: no reading has come")
}

// aged is a calibration of an electrode some months on.
func aged(electrode string, months int, slope float64) calib.Calibration {
	at := time.Date(2026, 1, 10, 9, 0, 0, 0, time.UTC).AddDate(0, 0, 30*months)
	var points []calib.Point
	for _, name := range []string{"7.00", "4.01"} {
		s, _ := calib.Find(name, calib.Technical)
		p, _ := calib.NewPoint(s, 22)
		mv := slope / 100 * calib.IdealMV(p.PH, 22)
		p.MV, p.At = &mv, at
		points = append(points, p)
	}
	c, _ := calib.Judge(calib.About{Electrode: electrode, At: at}, points, nil)
	return c
}

// still is a meter that says nothing.
type still struct{}

func (still) String() string { return "a meter" }

func (still) Run(ctx context.Context, _ chan<- meter.Report) error {
	<-ctx.Done()
	return ctx.Err()
}

// A meter that sends no temperature: it is asked for, once, and goes into the points;
// standards that are unknown at it are refused before anything is read.
func TestCalibrateAsksForTheTemperature(t *testing.T) {
	bare := func(h *handRig, mv, seconds float64) {
		for end := h.clock + seconds; h.clock < end; {
			h.clock += 0.5
			require.NoError(t, h.take(meter.Report{Kind: meter.GotReading, Reading: meter.Reading{Quantity: meter.Millivolt, Value: mv, Decimals: 1}}))
		}
	}
	h := byHand(t, &calibration{standards: []string{"7.00", "4.01"}, set: "technical"})
	bare(h, 3, 2)
	h.says("")
	require.Contains(t, h.talk.String(), "the meter sends no temperature")
	require.Equal(t, calib.Immerse, h.proc.Stage())
	h.says("75")
	require.Contains(t, h.talk.String(), "75 °C is not the temperature of a standard on a bench")
	h.says("19,5 °c")
	h.says("")
	require.Equal(t, calib.Settle, h.proc.Stage())
	bare(h, -1, 130)
	points, _ := h.proc.Points()
	require.Len(t, points, 1)
	assert.InDelta(t, 19.5, points[0].TempC, 1e-9)
	assert.True(t, points[0].TempByHand)

	h = byHand(t, &calibration{standards: []string{"7.00", "4.01"}, set: "technical"})
	bare(h, 3, 2)
	h.says("")
	h.says("") // once more: the 25 °C that are assumed
	require.Equal(t, calib.Settle, h.proc.Stage())

	h = byHand(t, &calibration{standards: []string{"9.18", "3.56"}, set: "primary"})
	h.show(3, 2) // at 22 °C, where nothing is known of the tartrate
	err := h.answer("", true)
	require.ErrorContains(t, err, "nothing is known of 3.56 at 22.0 °C: its table goes from 25 to 35 °C")
}

// A value taken by hand says so.
func TestCalibrateTakenByHand(t *testing.T) {
	h := byHand(t, &calibration{standards: []string{"7.00", "4.01"}, set: "technical"})
	h.says("")
	h.show(3, 2)
	h.says("take")
	assert.Contains(t, h.talk.String(), "taken at your word after 2 s: 3.0 mV at 22.0 °C (± 0.10 pH)")
	assert.NotContains(t, h.talk.String(), "settled after")
}
