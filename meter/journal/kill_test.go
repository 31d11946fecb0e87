package journal_test

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
)

// The test binary run again with this set is the program that gets killed.
const victimEnv = "HALFDROP_JOURNAL_VICTIM"

func TestMain(m *testing.M) {
	if path := os.Getenv(victimEnv); path != "" {
		fmt.Println(victim(path))
		return
	}
	os.Exit(m.Run())
}

// victim goes on with the journal at path, or starts it, and prints the
// sequence number of each event once it is acknowledged, as fast as it can.
func victim(path string) error {
	w, _, err := journal.Resume(path, nil)
	if err != nil {
		os.Remove(path) // torn before its first event was acknowledged, or not there
		if w, err = journal.Create(path, start()); err != nil {
			return err
		}
	}
	seq, _ := w.Last()
	fmt.Println(seq)
	for {
		seq, _ := w.Last()
		e := reading(float64(seq)/10, 7)
		if seq%7 == 0 {
			e = added(float64(seq)/10, 3)
		}
		if rand.IntN(2) == 0 { // many pages, so that a kill can tear the write
			e.Raw = strings.Repeat("x", rand.IntN(200_000))
		}
		if err := w.Append(&e); err != nil {
			return err
		}
		fmt.Println(e.Seq)
	}
}

// Killed at random moments, again and again on one file, several files at a time: every
// acknowledged event is there, at most a tail is torn, and the next one goes on. Set
// HALFDROP_KILLS for more than the 30 of a usual run.
func TestKill(t *testing.T) {
	kills := 30
	if n, err := strconv.Atoi(os.Getenv("HALFDROP_KILLS")); err == nil {
		kills = n
	}
	const each = 5 // kills of one file
	var torn, events atomic.Int64
	t.Run("files", func(t *testing.T) {
		for i := range (kills + each - 1) / each {
			t.Run(strconv.Itoa(i), func(t *testing.T) {
				t.Parallel()
				path := filepath.Join(t.TempDir(), "run.jsonl")
				for range each {
					cut, last := killedOnce(t, path)
					torn.Add(cut)
					events.Add(last)
				}
			})
		}
	})
	assert.Positive(t, events.Load(), "the victim was never alive long enough")
	t.Logf("%d kills, %d torn tails, all named; %d events acknowledged over the runs", kills, torn.Load(), events.Load())
}

// killedOnce kills one victim, looks at what it left, and is how many tails were torn and
// how many events it had acknowledged.
func killedOnce(t *testing.T, path string) (torn, events int64) {
	last := killOne(t, path)
	tail, err := journal.ScanFile(path, func(journal.Event) error { return nil })
	if last == 0 && err != nil {
		return 0, 0 // killed before the first event was acknowledged
	}
	require.NoError(t, err)
	require.GreaterOrEqual(t, tail.Events, last, "an acknowledged event is missing")
	r, err := journal.CheckFile(path)
	require.NoError(t, err)
	if !tail.Torn() {
		require.Empty(t, r.Faults)
		return 0, last
	}
	require.Len(t, r.Faults, 1)
	return 1, last
}

// killOne runs a victim for a random moment and returns the last event that it
// said was acknowledged. (A real process dies here, so real time is waited.)
func killOne(t *testing.T, path string) int64 {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), victimEnv+"="+path)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	kill := func() { time.AfterFunc(time.Duration(rand.IntN(150))*time.Millisecond, func() { cmd.Process.Kill() }) }
	young := rand.IntN(3) == 0 // the others live at least to their first event, however slow the machine
	if young {
		kill()
	}
	last := int64(0)
	for lines := bufio.NewScanner(out); lines.Scan(); {
		if !young {
			young = true
			kill()
		}
		n, err := strconv.ParseInt(lines.Text(), 10, 64)
		if err != nil {
			break // an error of the victim; or a number cut off by the kill
		}
		last = max(last, n)
	}
	require.Error(t, cmd.Wait(), "it was killed and did not end by itself")
	return last
}

// A second program is refused while the first one lives, and let in as soon as
// it has been killed: a lock does not outlive its holder.
func TestTwoPrograms(t *testing.T) {
	path := filepath.Join(t.TempDir(), "run.jsonl")
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), victimEnv+"="+path)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	_, err = bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	_, _, err = journal.Resume(path, nil)
	require.ErrorIs(t, err, journal.ErrLocked)
	require.NoError(t, cmd.Process.Kill())
	cmd.Wait()
	w, _, err := journal.Resume(path, nil)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	mustBeSound(t, path)
}
