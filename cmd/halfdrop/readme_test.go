package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/learn"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/session"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/station"
	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/led"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/teach"
	"example.org/halfdrop/tui/terminal"
	"example.org/halfdrop/tui/widget"
)

var update = flag.Bool("update", false, "write the text screens of README.md anew")

const readme = "../../README.md"

// A screen in README.md is a fenced block under a comment with its name.
var screens = regexp.MustCompile("(?s)<!-- screen: (\\S+) -->\n\n?```\n(.*?)```\n")

// TestReadmeScreens: what README.md shows is what the program shows. The runs
// are those of titrate --sim --seed 7, in the synthetic time of synctest, so
// that every reading comes at the same moment.
func TestReadmeScreens(t *testing.T) {
	if testing.Short() {
		t.Skip("NOT RUN with -short: the screens in README.md were not compared with the program, which takes seconds each")
	}
	t.Setenv("XDG_DATA_HOME", t.TempDir()) // what somebody has practised here is no business of the README
	add, stop := screensOfRun(t)
	made := map[string]string{
		"add": add, "stop": stop,
		"plain":    linesOfRun(t),
		"plan":     section(said(t, "plan", "--ph", "7.4", "--temp", "37", "--mM", "50", "--ml", "500"), "Recipe"),
		"practice": said(t, "practice"),
		"learn":    learnScreen(t),
	}
	text, err := os.ReadFile(readme)
	require.NoError(t, err)
	seen := 0
	fresh := screens.ReplaceAllStringFunc(string(text), func(block string) string {
		m := screens.FindStringSubmatch(block)
		want, known := made[m[1]]
		require.True(t, known, "no screen is made for %q", m[1])
		seen++
		if !*update {
			assert.Equal(t, want, m[2], "%s in README.md is out of date; go test ./cmd/halfdrop -run Readme -update", m[1])
		}
		return strings.Replace(block, "```\n"+m[2], "```\n"+want, 1)
	})
	assert.Equal(t, len(made), seen, "every screen has its place in README.md")
	if *update {
		require.NoError(t, os.WriteFile(readme, []byte(fresh), 0o644))
	}
}

// learnScreen is the screen on which a meter is learned that sends seconds and
// pH, after → and p, without the rows at the end that are empty.
func learnScreen(t *testing.T) string {
	lipgloss.SetColorProfile(termenv.Ascii)
	l := &teach.Learner{Name: "corner-bench", Conf: serial.Config{Name: "/dev/ttyUSB0"}}
	for i := range learn.Wanted {
		l.Hear(serial.Heard{At: time.Unix(int64(i), 0), Line: fmt.Appendf(nil, "%.1f,%.2f", 20.5+float64(i), 7.02+0.01*float64(i*7%4))})
	}
	for _, key := range []string{led.LearnRight, "p"} {
		_, err := l.Press(key)
		require.NoError(t, err)
	}
	st := l.State()
	st.Keys, st.Set = led.LearnKeys, &widget.Unicode
	return screen.DrawLearn(st, 78, 20) + "\n"
}

// screensOfRun drives the screen with the keys a person would press: Enter at
// every ADD, until DONE. It is the first ADD, and DONE once the reading has
// settled, at 80x24.
func screensOfRun(t *testing.T) (add, stop string) {
	lipgloss.SetColorProfile(termenv.Ascii)
	t.Setenv("LC_ALL", "C.UTF-8")
	t.Setenv("TERM", "xterm-256color")
	atThePlate(t, func(ctx context.Context, s *session.Session) {
		m := tui.New(s, terminal.Options{})
		m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
		for range 60 {
			time.Sleep(15 * time.Second)
			synctest.Wait()
			m.Update(m.Init()())
			switch screen := bare(m.View()); {
			case strings.Contains(screen, "▼ ADD"):
				if add == "" {
					add = screen
				}
				m.Update(tea.KeyMsg{Type: tea.KeyEnter})
			case strings.Contains(screen, "■ DONE") && strings.Contains(screen, "● settled"):
				stop = screen
				return
			}
		}
	})
	require.NotEmpty(t, stop, "the run came to its aim")
	return add, stop
}

// linesOfRun is the beginning of the same run in the line mode.
func linesOfRun(t *testing.T) string {
	t.Setenv("LC_ALL", "C.UTF-8")
	var out roll
	atThePlate(t, func(ctx context.Context, s *session.Session) {
		in, keys := io.Pipe()
		done := make(chan error, 1)
		synctest.Wait() // the first reading is there: a busy machine printed the view before it
		go func() { done <- tui.Plain(ctx, s, in, &out, terminal.Options{}) }()
		for range 60 {
			time.Sleep(15 * time.Second)
			synctest.Wait()
			lines := strings.Split(strings.TrimSpace(out.String()), "\n")
			last := lines[len(lines)-1]
			if strings.HasPrefix(last, "DONE") {
				break
			}
			if strings.HasPrefix(last, "ADD") {
				io.WriteString(keys, "\n")
			}
		}
		io.WriteString(keys, "q\ny\n")
		assert.NoError(t, <-done)
		keys.Close()
	})
	before, after, ok := strings.Cut(out.String(), "\nrecorded: ")
	require.True(t, ok, out.String())
	amount, _, _ := strings.Cut(after, "\n")
	begin := before + "\nrecorded: " + amount + "\n"
	require.Contains(t, out.String(), "\nDONE, read 7.")
	return folded(begin, 78)
}

// roll is paper that one goroutine prints on while another reads.
type roll struct {
	mu   sync.Mutex
	text strings.Builder
}

func (r *roll) Write(b []byte) (int, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.text.Write(b)
}

func (r *roll) String() string {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.text.String()
}

// atThePlate runs the simulated bench with the built-in plan while do is at
// work.
func atThePlate(t *testing.T, do func(context.Context, *session.Session)) {
	synctest.Test(t, func(t *testing.T) {
		plan := builtIn(t)
		setup, err := recipe.Compile(plan)
		require.NoError(t, err)
		b, err := sim.New(setup, sim.DefaultTruth(setup, 7))
		require.NoError(t, err)
		start, clock := time.Now(), sim.NewClock(1)
		first, err := keep.Begin(plan, start, keep.Origin{Program: madeBy(), Source: sim.SourceName(7)})
		require.NoError(t, err)
		log, err := shelf.CreateJournal(filepath.Join(t.TempDir(), "run.jsonl"), &first)
		require.NoError(t, err)
		defer log.Close()
		keeper, err := keep.NewKeeper(first, log, func(s float64) time.Time { return start.Add(time.Duration(s * 1e9)) })
		require.NoError(t, err)
		s := session.NewSession(keeper, b.Source(clock, sim.Every), clock.Seconds, station.Plate{Bench: b})
		// Readings come at half seconds; the looks of the run and the hands of the
		// person never fall on the same moment, so their order is always the same.
		time.Sleep(100 * time.Millisecond)
		ended := make(chan error, 1)
		go func() { ended <- s.Run(t.Context()) }()
		time.Sleep(50 * time.Millisecond)
		do(t.Context(), s)
		s.Post(intent.Intent{Kind: intent.End, Text: tui.Left})
		<-ended
	})
}

// said is what the program prints as a process of its own.
func said(t *testing.T, args ...string) string {
	t.Helper()
	out, err := program(t, args...).Output()
	require.NoError(t, err)
	return string(out)
}

// section is the part of a printed plan under a title.
func section(page, title string) string {
	_, rest, _ := strings.Cut(page, "\n"+title+"\n"+strings.Repeat("-", len(title))+"\n")
	part, _, _ := strings.Cut(rest, "\n\n")
	return part + "\n"
}

// bare is a screen without blanks at the ends of its rows.
func bare(s string) string {
	rows := strings.Split(s, "\n")
	for i := range rows {
		rows[i] = strings.TrimRight(rows[i], " ")
	}
	return strings.TrimRight(strings.Join(rows, "\n"), "\n") + "\n"
}

// folded breaks long lines; what goes on is set in by two.
func folded(s string, width int) string {
	var out strings.Builder
	for line := range strings.Lines(s) {
		at := 0
		for i, word := range strings.Fields(line) {
			n := lipgloss.Width(word)
			switch {
			case i == 0:
			case at+1+n > width:
				out.WriteString("\n  ")
				at = 2
			default:
				out.WriteString(" ")
				at++
			}
			out.WriteString(word)
			at += n
		}
		out.WriteString("\n")
	}
	return out.String()
}

// What is to be typed stands in README.md between backquotes or set in by four.
var commandLines = regexp.MustCompile("`([^`\n]+)`|(?m:^ {4}(\\S.*)$)")

// TestReadmeCommands: every command and flag that README.md names exists, and
// no command is left out.
func TestReadmeCommands(t *testing.T) {
	text, err := os.ReadFile(readme)
	require.NoError(t, err)
	root := newRootCommand()
	root.InitDefaultCompletionCmd()
	named, flags := map[string]bool{"help": true}, map[string]bool{}
	for _, c := range root.Commands() {
		c.Flags().VisitAll(func(f *pflag.Flag) { flags[f.Name] = true })
	}
	root.PersistentFlags().VisitAll(func(f *pflag.Flag) { flags[f.Name] = true })
	for _, m := range commandLines.FindAllStringSubmatch(screens.ReplaceAllString(string(text), ""), -1) {
		line := strings.TrimPrefix(m[1]+m[2], "go run ./cmd/")
		line, ours := strings.CutPrefix(line, "halfdrop ")
		line, _, _ = strings.Cut(line, " | ")
		words := strings.Fields(line)
		c, _, err := root.Find(words)
		if ours {
			require.NoError(t, err, line)
			require.True(t, c != root || strings.HasPrefix(line, "--"), line)
		}
		if err != nil || c == root && !strings.HasPrefix(line, "--") {
			continue // no command line
		}
		for up := c; up != nil; up = up.Parent() {
			named[up.Name()] = true
		}
		for _, w := range words {
			name, isFlag := strings.CutPrefix(w, "--")
			if isFlag && c == root {
				assert.True(t, flags[name] || name == "help", "no command has %s", w)
			} else if isFlag {
				assert.True(t, c.Flag(name) != nil || name == "help", "%s in %q", w, line)
			}
		}
	}
	for _, c := range root.Commands() {
		assert.True(t, named[c.Name()], "README.md does not say what %s is for", c.Name())
	}
}
