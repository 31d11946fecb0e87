package terminal

import (
	"bytes"
	"io"
	"math"
	"os"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"

	_ "example.org/halfdrop/tui/quiet" // before Bubble Tea asks for colours: do not take it out, see cmd's TestNoQuestionAtStart
	"example.org/halfdrop/tui/widget"
)

// Grounds are what Options.Background may say of the terminal's background.
var Grounds = []string{"auto", "dark", "light"}

// asker asks the terminal for its background once, and takes the answer out of
// what is typed. The first frame does not wait for it: a terminal that never
// answers costs nothing, one that does has the frame drawn anew.
type asker struct {
	mu    sync.Mutex
	until time.Time // an answer is taken until then; zero before it was asked for
	done  bool
	held  []byte // the beginning of an answer that came in pieces
}

// ground is the asker of this process: the screens that follow each other ask once.
var ground asker

// answerTime is how long an answer may take.
const answerTime = 5 * time.Second

// askGround is the question for the background colour (xterm, OSC 11), ended in a
// way that terminals which do not know it understand as well.
const askGround = "\x1b]11;?\a"

// asks reports whether the terminal is to be asked.
func (o Options) asks(env func(string) string) bool {
	switch term := env("TERM"); {
	case o.Background != "" && o.Background != "auto", runtime.GOOS == "windows":
		return false
	case env("NO_COLOR") != "", term == "" || term == "dumb" || term == "linux":
		return false // no colours, or a ground that is known
	case strings.HasPrefix(term, "screen") && env("TMUX") == "":
		return false // GNU screen hands no such answer on; tmux, which may use its name, does
	}
	ground.mu.Lock()
	defer ground.mu.Unlock()
	return ground.until.IsZero()
}

// dress sets the colours as far as they are known before the terminal is asked.
func (o Options) dress(env func(string) string) {
	if o.Background == "dark" || o.Background == "light" {
		lipgloss.SetHasDarkBackground(o.Background == "dark")
	}
	widget.KeepEmphasis(env("NO_COLOR") != "" && env("TERM") != "dumb")
}

// grounded is a program that is drawn anew when the background is known.
type grounded struct {
	tea.Model
	ask  func()
	size *tea.WindowSizeMsg
}

// groundIs is what the terminal has answered.
type groundIs struct{ dark bool }

func (g *grounded) Init() tea.Cmd {
	if g.ask == nil {
		return g.Model.Init()
	}
	return tea.Batch(g.Model.Init(), func() tea.Msg { g.ask(); return nil })
}

func (g *grounded) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch is := msg.(type) {
	case tea.WindowSizeMsg:
		g.size = &is
	case groundIs:
		if is.dark == lipgloss.HasDarkBackground() || g.size == nil {
			lipgloss.SetHasDarkBackground(is.dark)
			return g, nil
		}
		lipgloss.SetHasDarkBackground(is.dark)
		msg = *g.size // every screen is drawn anew after that
	}
	var cmd tea.Cmd
	g.Model, cmd = g.Model.Update(msg)
	return g, cmd
}

// listener is what is typed on a terminal, without an answer of the terminal.
type listener struct {
	*os.File
	tell func(dark bool)
	gone func() // the terminal is closed: nothing will be typed there any more
}

// Read waits for keys; what is left of a read that was all answer is nothing,
// and it reads on.
func (l *listener) Read(b []byte) (int, error) {
	room := b // what was held back comes before what is read
	if len(b) > 2*longestAnswer {
		room = b[:len(b)-longestAnswer]
	}
	n, err := l.File.Read(room)
	if n <= 0 {
		if err != nil {
			l.gone() // the library would wait for keys for ever
		}
		return n, err
	}
	kept, dark, answered := ground.sift(b[:n], time.Now())
	if answered {
		l.tell(dark)
	}
	return copy(b, kept), err
}

// sift takes an answer out of what was read.
func (a *asker) sift(in []byte, now time.Time) (kept []byte, dark, answered bool) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.done || a.until.IsZero() {
		return in, false, false
	}
	in = append(a.held, in...)
	a.held = nil
	const head = "\x1b]11;"
	at := bytes.Index(in, []byte(head))
	if at < 0 {
		a.done = now.After(a.until)
		if at = bytes.LastIndex(in, []byte("\x1b]")); at >= 0 && strings.HasPrefix(head, string(in[at:])) && !a.done {
			a.held = bytes.Clone(in[at:])
			return in[:at], false, false
		}
		return in, false, false
	}
	body := in[at+len(head):]
	end, tail := bytes.IndexByte(body, '\a'), 1
	if st := bytes.Index(body, []byte("\x1b\\")); st >= 0 && (end < 0 || st < end) {
		end, tail = st, 2
	}
	if end < 0 {
		if len(body) < longestAnswer {
			a.held = bytes.Clone(in[at:])
			return in[:at], false, false
		}
		a.done = true // no answer is as long; what it is goes to nobody's fingers
		return in[:at], false, false
	}
	a.done = true
	dark, answered = darkColour(string(body[:end]))
	return append(in[:at:at], body[end+tail:]...), dark, answered
}

// longestAnswer is longer than any answer, in bytes.
const longestAnswer = 64

// middle is the luminance on which black and white text have the same contrast:
// (L + 0.05)² = 0.05 × 1.05 (WCAG 2.2, contrast ratio).
var middle = math.Sqrt(0.05*1.05) - 0.05

// darkColour reads a colour as X11 writes it, rgb:RRRR/GGGG/BBBB with one to four
// digits each, and says whether it is nearer to black.
func darkColour(text string) (dark, ok bool) {
	_, parts, found := strings.Cut(text, ":")
	rgb := strings.Split(parts, "/")
	if !found || !strings.HasPrefix(text, "rgb") || len(rgb) < 3 {
		return false, false
	}
	l := 0.0
	for i, share := range [3]float64{0.2126, 0.7152, 0.0722} {
		n, err := strconv.ParseUint(rgb[i], 16, 16)
		if err != nil {
			return false, false
		}
		c := float64(n) / (math.Pow(16, float64(len(rgb[i]))) - 1)
		l += share * math.Pow(c, 2.2) // near enough to sRGB to tell dark from light
	}
	return l < middle, true
}

// listening has the program ask for the background, and its keys come without the answer;
// nil keys are no terminal's.
func listening(m tea.Model, o Options, out io.Writer) (tea.Model, *listener) {
	o.dress(os.Getenv)
	in, ok := Of(o.in())
	if !ok || runtime.GOOS == "windows" { // whose console the library reads in a way of its own
		return m, nil
	}
	keys := &listener{File: in}
	if !o.asks(os.Getenv) && ground.over() {
		return m, keys
	}
	g := &grounded{Model: m}
	if o.asks(os.Getenv) {
		g.ask = func() {
			ground.mu.Lock()
			ground.until = time.Now().Add(answerTime)
			ground.mu.Unlock()
			io.WriteString(out, askGround)
		}
	}
	return g, keys
}

// over reports whether no answer is to come.
func (a *asker) over() bool {
	a.mu.Lock()
	defer a.mu.Unlock()
	return a.done || a.until.IsZero()
}
