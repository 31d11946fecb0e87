package main

import (
	"bufio"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/run/keep"
	"github.com/stretchr/testify/require"
)

// kills is how often to kill: a usual number, or what HALFDROP_KILLS says.
func kills(usual int) int {
	if n, err := strconv.Atoi(os.Getenv("HALFDROP_KILLS")); err == nil {
		return n
	}
	return usual
}

// A run is broken off by kill −9 and gone on with this many times before the
// next begins on a new file.
const killsPerFile = 5

// victimRun is a process that is fed lines and says what it has recorded.
type victimRun struct {
	args     []string
	feed     func(w io.Writer, n int) error // line n
	answered func(line string) bool         // the line acknowledges an addition
	life     time.Duration                  // at the most, after its first word
}

// live starts the process, lets it answer for a while, kills it, and gives how
// many additions it had acknowledged.
func (v victimRun) live(t *testing.T, life time.Duration) int {
	t.Helper()
	c := program(t, v.args...)
	in, err := c.StdinPipe()
	require.NoError(t, err)
	out, err := c.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	go func() {
		for n := 0; v.feed(in, n) == nil; n++ {
		}
	}()
	count := make(chan int, 1)
	began := make(chan struct{}, 1)
	go func() {
		n := 0
		for s := bufio.NewScanner(out); s.Scan(); {
			if v.answered(s.Text()) {
				n++
			}
			select {
			case began <- struct{}{}:
			default:
			}
		}
		count <- n
	}()
	select { // the program is up; from here on any moment is as good as another
	case <-began:
	case <-time.After(20 * time.Second):
		t.Fatal("the program has said nothing for 20 s")
	}
	time.Sleep(life)
	require.NoError(t, c.Process.Kill())
	n := <-count
	require.Error(t, c.Wait())
	return n
}

// verify looks at the journal that a killed process left: nothing that was
// answered is missing, no damage but a torn tail, and the run can go on.
func verify(t *testing.T, path string, answered int) (additions int, torn bool) {
	t.Helper()
	tail, err := journal.ScanFile(path, func(e journal.Event) error {
		if e.Kind == journal.Added {
			additions++
		}
		return nil
	})
	require.NoError(t, err, "at most a tail is torn")
	require.GreaterOrEqual(t, additions, answered, "every answered addition is in the journal")
	r, err := keep.ResumeHeld(path, time.Now())
	require.NoError(t, err)
	require.Equal(t, tail.Torn(), r.Repair.Needed(), "a torn tail is named")
	require.Len(t, r.Keeper.Look(r.Keeper.State.T).Entries, additions, "the belief has all of them")
	require.NoError(t, r.Writer.Close())
	report, err := journal.CheckFile(path)
	require.NoError(t, err)
	require.True(t, report.Sound(), "%v", report.Faults)
	return additions, tail.Torn()
}

func repeat(t *testing.T, n int, victim func(path string, fresh bool, from int) victimRun) {
	torn, answered, before := 0, 0, 0
	path := ""
	i := 0
	for ; i < n || answered == 0 && i < 10*n; i++ { // on a busy machine it may take more lives to be answered once
		fresh := i%killsPerFile == 0
		if fresh {
			path, before = filepath.Join(t.TempDir(), "run.jsonl"), 0
		}
		v := victim(path, fresh, before)
		got := v.live(t, time.Duration(rand.Int64N(int64(v.life))))
		additions, cut := verify(t, path, before+got)
		answered, before = answered+got, additions
		if cut {
			torn++
		}
	}
	t.Logf("%d kills, %d additions answered, %d torn tails", i, answered, torn)
	require.Positive(t, answered, "the process was never alive long enough to answer")
}

// lines feeds readings, each third line an addition of two drops.
func lines(from int) func(w io.Writer, n int) error {
	return func(w io.Writer, n int) error {
		at := from*1000 + n
		line := fmt.Sprintf(`{"t":%d,"ph":%.2f}`, at, 5+0.001*float64(n))
		if n%3 == 2 {
			line = fmt.Sprintf(`{"t":%d,"added":{"titrant":"NaOH 1 M","drops":0.01}}`, at)
		}
		_, err := io.WriteString(w, line+"\n")
		return err
	}
}

func TestAdviseKilled(t *testing.T) {
	plan := filepath.Join(t.TempDir(), "plan.toml")
	require.NoError(t, os.WriteFile(plan, planfile.Demo, 0o600))
	repeat(t, kills(10), func(path string, fresh bool, from int) victimRun {
		args := []string{"advise", "--plan", plan, "--journal", path}
		if !fresh {
			args = []string{"advise", "--resume", "--journal", path}
		}
		asked := 0
		return victimRun{args: args, life: 120 * time.Millisecond, feed: lines(from + 1), answered: func(line string) bool {
			asked++ // one answer a line, in order: each third is an addition
			return asked%3 == 0 && !strings.Contains(line, `"error"`)
		}}
	})
}

func TestSimulatorRunKilled(t *testing.T) {
	if _, err := exec.LookPath("true"); err != nil {
		t.Skip("NOT RUN: the journal was not tried against kill -9, for this system has no processes to kill so")
	}
	repeat(t, kills(7), func(path string, fresh bool, _ int) victimRun {
		args := []string{"titrate", "--sim", "--seed", "7", "--speed", "20", "--plain", "--journal", path}
		if !fresh {
			args = []string{"titrate", "--plain", "--speed", "20", "--resume", path}
		}
		return victimRun{args: args, life: 600 * time.Millisecond, feed: func(w io.Writer, n int) error { // drops fall there one by one
			time.Sleep(15 * time.Millisecond)
			_, err := io.WriteString(w, "0.0005 mL\n")
			return err
		}, answered: func(line string) bool { return strings.HasPrefix(strings.ToLower(line), "recorded") }}
	})
}
