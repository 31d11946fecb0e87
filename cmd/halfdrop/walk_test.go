//go:build unix

package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/journal"
)

// walkOn is the real program on a real pseudo-terminal, behind which an emulator
// shows what a person would see.
type stroll struct {
	t     *testing.T
	home  string // where the program keeps its files
	tty   *os.File
	glass *watched
	ended chan error
	kill  func()
	pid   func() int
}

// walking starts the program; home is kept from one walk to the next when it
// is not empty.
func walking(t *testing.T, home string, args ...string) *stroll {
	t.Helper()
	if testing.Short() {
		t.Skip("NOT RUN with -short: the real program was not walked through on a terminal, which takes seconds of real time")
	}
	if home == "" {
		home = t.TempDir()
	}
	cmd := program(t, args...)
	cmd.Dir = home
	cmd.Env = append(cmd.Env, "TERM=xterm-256color", "LC_ALL=C.UTF-8", "HOME="+home, "XDG_DATA_HOME="+filepath.Join(home, "data"))
	tty, err := pty.StartWithSize(cmd, &pty.Winsize{Rows: 24, Cols: 80})
	require.NoError(t, err)
	w := &stroll{t: t, home: home, tty: tty, glass: newWatched(tty), ended: make(chan error, 1), kill: func() { _ = cmd.Process.Kill() }, pid: func() int { return cmd.Process.Pid }}
	go func() { w.ended <- cmd.Wait() }()
	t.Cleanup(func() { w.kill(); tty.Close() })
	return w
}

// sees waits until words stand on the screen.
func (w *stroll) sees(words string) string {
	w.t.Helper()
	now := ""
	ok := assert.Eventually(w.t, func() bool { now = w.glass.now(); return strings.Contains(now, words) }, 40*time.Second, 15*time.Millisecond)
	require.True(w.t, ok, "%q is not on the screen:\n%s", words, now)
	return now
}

// types sends keys.
func (w *stroll) types(keys string) {
	w.t.Helper()
	_, err := w.tty.WriteString(keys)
	require.NoError(w.t, err)
}

// ends waits for the program to end well.
func (w *stroll) ends() {
	w.t.Helper()
	select {
	case err := <-w.ended:
		require.NoError(w.t, err, w.glass.now())
	case <-time.After(30 * time.Second):
		require.Fail(w.t, "the program goes on", w.glass.now())
	}
}

// endsWith waits for the program to end with an exit status.
func (w *stroll) endsWith(code int) {
	w.t.Helper()
	select {
	case err := <-w.ended:
		var exit *exec.ExitError
		if code == 0 {
			require.NoError(w.t, err, w.glass.now())
			return
		}
		require.ErrorAs(w.t, err, &exit, w.glass.now())
		require.Equal(w.t, code, exit.ExitCode(), w.glass.now())
	case <-time.After(30 * time.Second):
		require.Fail(w.t, "the program goes on", w.glass.now())
	}
}

// journal is the only one in the data folder.
func (w *stroll) journal() string {
	w.t.Helper()
	files, err := filepath.Glob(filepath.Join(w.home, "data", "halfdrop", "runs", "*.jsonl"))
	require.NoError(w.t, err)
	require.Len(w.t, files, 1)
	return files[0]
}

const enter = "\r"

var adding = regexp.MustCompile(`ADD (?:[\d.]+ mL \()?(\d+) drops?\)? of`) // a large one is said in mL as well

// TestWalk walks through the program, several walks at a time: what they do is wait, and
// each has a home of its own.
func TestWalk(t *testing.T) {
	for name, walk := range map[string]func(*testing.T){
		"home": walkHome, "resume": walkResume, "plan": walkPlan, "calibrate": walkCalibrate, "practice": walkPractice,
		"titration": walkTitration, "count": walkCount, "wrong keys": walkWrongKeys, "sizes": walkSizes, "ASCII": walkASCII,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			walk(t)
		})
	}
}

// walkHome goes from the tasks to the coach and back out, looks back on the
// run from the tasks, and leaves.
func walkHome(t *testing.T) {
	w := walking(t, "")
	w.sees("no run yet")
	w.types("3" + enter)
	w.sees("where do the readings come from?")
	w.types("\x1b")
	w.sees("Look back on a run")
	w.types(enter) // the row chosen before is kept
	w.sees("where do the readings come from?")
	w.types("1" + enter)
	w.sees("the built-in plan")
	w.types(enter)
	w.sees("aim 7.3")
	w.types("qy")
	w.endsWith(manners.ExitMissed)
	path := w.journal()

	w = walking(t, w.home)
	w.sees("last run ")
	w.types("4" + enter)
	w.sees(filepath.Base(filepath.Dir(path)))
	w.types(enter)
	w.sees("no additions yet")
	w.types("q")
	w.ends()
}

// walkResume: a run that was killed is the first thing offered.
func walkResume(t *testing.T) {
	w := walking(t, "", "titrate", "--sim", "--seed", "3", "--speed", "40")
	w.sees("ADD ")
	w.types(enter)
	w.sees("1 addition")
	w.kill()
	<-w.ended
	w = walking(t, w.home)
	w.sees("1 Resume")
	w.sees("Nothing is lost")
	w.types(enter)
	w.sees("1 addition")
	w.types("qy")
	w.endsWith(manners.ExitMissed)
}

// walkPlan fills the form in by keyboard and leaves it.
func walkPlan(t *testing.T) {
	w := walking(t, "")
	w.sees("Plan a buffer")
	w.types("1" + enter)
	w.sees("pH in use")
	w.types("7.4\x1b[B")
	w.sees("7.4")
	w.types("\x1b")
	w.sees("Leave the form?")
	w.types("n")
	w.sees("F3 bench sheet")
	w.types("\x1b")
	w.sees("Leave the form?")
	w.types("y")
	w.sees("halfdrop plan --ph 7.4")
	w.ends()
}

// walkCalibrate goes from the tasks to an accepted calibration.
func walkCalibrate(t *testing.T) {
	w := walking(t, "")
	w.sees("Calibrate the electrode")
	w.types("2" + enter)
	w.sees("the simulated electrode")
	w.types("1" + enter)
	w.sees("7.00 4.01")
	w.types(enter)
	w.sees("then Enter (1 of 2)")
	w.types("q")
	<-w.ended
}

// walkPractice reads the story of the first exercise.
func walkPractice(t *testing.T) {
	w := walking(t, "")
	w.sees("Practise")
	w.types("5" + enter)
	w.sees("step 1")
	w.types(enter)
	w.sees("What to do:")
	w.types("q")
	w.sees("2 Which way to go")
	w.types("q")
	w.ends()
}

// walkTitration does what the coach says until DONE; the record is sound.
func walkTitration(t *testing.T) {
	w := walking(t, "", "titrate", "--sim", "--seed", "4", "--speed", "40")
	t.Cleanup(func() {
		if t.Failed() {
			t.Log(w.glass.now())
		}
	})
	for n := 1; ; n++ {
		require.Less(t, n, 12)
		require.Eventually(t, func() bool {
			s := w.glass.now()
			return strings.Contains(s, "DONE,") || strings.Contains(s, "▼ ADD ")
		}, 60*time.Second, 15*time.Millisecond, "after %d additions", n-1)
		if strings.Contains(w.glass.now(), "DONE,") {
			break
		}
		w.types(enter)
		w.sees(strconv.Itoa(n) + " addition")
		w.sees("WAIT")
	}
	w.types("qy")
	w.ends()
	r, err := journal.CheckFile(w.journal())
	require.NoError(t, err)
	assert.Empty(t, r.Faults)
}

// walkCount lets drops fall under Space: the number left, the word at the
// last one, one too many and one taken back.
func walkCount(t *testing.T) {
	w := walking(t, "", "titrate", "--sim", "--seed", "4", "--speed", "20")
	m := adding.FindStringSubmatch(w.sees("ADD "))
	require.NotNil(t, m)
	n, err := strconv.Atoi(m[1])
	require.NoError(t, err)
	w.types(" ")
	w.sees("1 of the " + m[1] + " ordered have fallen")
	w.types(strings.Repeat(" ", n-1))
	w.sees("STOP, that was drop " + m[1] + " of " + m[1])
	w.types(" ")
	w.sees("1 too many")
	w.types("\x7f")
	w.sees("STOP, that was drop")
	w.types(enter)
	w.sees("1 addition")
	w.types("qy")
	w.endsWith(manners.ExitMissed)
}

// walkWrongKeys: keys without a meaning do no harm, the help has all that
// have one, and an addition is withdrawn with one key.
func walkWrongKeys(t *testing.T) {
	w := walking(t, "", "titrate", "--sim", "--seed", "4", "--speed", "20")
	w.sees("ADD ")
	w.types("xZ%\x1b[15~")
	w.types("?")
	w.sees("Keys of the titration")
	w.sees("safety data sheet")
	w.types("\x1b")
	w.sees("no additions yet")
	w.types("7")
	w.sees("added 7_ drops")
	w.types(enter)
	w.sees("1 addition")
	w.types("u")
	w.sees("why withdraw 7 drops of")
	w.types("1")
	w.sees("no additions")
	w.types("q")
	w.sees("end the run")
	w.types("n")
	w.sees("aim ")
	w.types("qy")
	w.endsWith(manners.ExitMissed)
}

// walkSizes: the window may have any size at any moment.
func walkSizes(t *testing.T) {
	w := walking(t, "", "titrate", "--sim", "--seed", "4", "--speed", "5")
	w.sees("aim ")
	for _, z := range []pty.Winsize{{Rows: 10, Cols: 30}, {Rows: 1, Cols: 1}, {Rows: 60, Cols: 200}, {Rows: 20, Cols: 60}, {Rows: 24, Cols: 80}} {
		require.NoError(t, pty.Setsize(w.tty, &z))
		time.Sleep(120 * time.Millisecond) // as a hand at the edge of a window
	}
	w.sees("q end")
	w.types("qy")
	w.endsWith(manners.ExitMissed)
}

// walkASCII: letters only, where blocks are not wanted.
func walkASCII(t *testing.T) {
	w := walking(t, "", "titrate", "--sim", "--seed", "4", "--speed", "40", "--ascii")
	s := w.sees("ADD ")
	for _, r := range s {
		require.Less(t, r, rune(128), "%q in %s", r, s)
	}
	w.types("qy")
	w.endsWith(manners.ExitMissed)
}
