package playback

import (
	"context"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/terminal"
)

// Tape is a run to look back on.
type Tape interface {
	// View is what was to be seen at run time t, s; old is the view before it,
	// of which it may take the curve.
	View(t float64, old view.View) view.View
	// Seconds is how long the run is.
	Seconds() float64
	// Stops are the moments to step to, in order. Until Ready is closed they
	// may lack words.
	Stops() []Stop
	// Ready is closed when the run has been gone through.
	Ready() <-chan struct{}
}

// Stop is a moment worth stopping at: just before an addition, or where the
// run went past its aim.
type Stop struct {
	T     float64 // s
	Done  string  // what was done then
	Story string  // why it went too far; empty when it did not
}

// Replay shows a run that is over, until the person leaves or ctx ends.
func Replay(ctx context.Context, tape Tape, o terminal.Options) error {
	return ReplayAt(ctx, tape, 0, o)
}

// ReplayAt is Replay, opened at run time t, s.
func ReplayAt(ctx context.Context, tape Tape, t float64, o terminal.Options) error {
	m := newReplay(tape, o)
	m.jump(t)
	return terminal.Show(ctx, m, o)
}

// replaying is the program model.
type replaying struct {
	tape    Tape
	stops   []Stop
	t       float64
	view    view.View
	playing bool
	speed   float64
	last    time.Time // of the last frame while playing
	typed   []rune
	asking  bool // for a time to jump to
	helping bool
	whole   bool // all of a story, whatever room it takes
	message string
	wrong   bool
	options terminal.Options
	w, h    int
}

func newReplay(tape Tape, o terminal.Options) *replaying {
	m := &replaying{tape: tape, stops: tape.Stops(), speed: 10, options: o}
	m.jump(0)
	return m
}

// reviewed says that the run has been gone through.
type reviewed struct{}

// Init waits for the run to be gone through; keys are taken meanwhile.
func (m *replaying) Init() tea.Cmd {
	return func() tea.Msg {
		<-m.tape.Ready()
		return reviewed{}
	}
}

// frame is the time to draw the next moment while playing.
type frame time.Time

const perFrame = 100 * time.Millisecond

func nextFrame() tea.Cmd {
	return tea.Tick(perFrame, func(t time.Time) tea.Msg { return frame(t) })
}

// Update takes a key, a frame or a new size.
func (m *replaying) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.w, m.h = msg.Width, msg.Height
	case reviewed:
		m.stops = m.tape.Stops()
	case frame:
		return m, m.advance(time.Time(msg))
	case tea.KeyMsg:
		var cmds []tea.Cmd
		for _, key := range terminal.Keys(msg) {
			if cmd := m.press(key); cmd != nil {
				cmds = append(cmds, cmd)
			}
		}
		return m, tea.Sequence(cmds...)
	}
	return m, nil
}

// advance plays on, and stops at the end.
func (m *replaying) advance(now time.Time) tea.Cmd {
	if !m.playing {
		return nil
	}
	if !m.last.IsZero() {
		m.jump(m.t + m.speed*now.Sub(m.last).Seconds())
	}
	m.last = now
	if m.t >= m.tape.Seconds() {
		m.playing = false
		return nil
	}
	return nextFrame()
}

// jump goes to a moment.
func (m *replaying) jump(t float64) {
	m.t = math.Max(0, math.Min(t, m.tape.Seconds()))
	m.view = m.tape.View(m.t, m.view)
}

// replayKeys are the keys with what they do, in the order of the help.
var replayKeys = []keyrow.Key{
	{Name: "Space", Short: "play", Does: "play or pause"},
	{Name: "→ n", Short: "next", Does: "to the next addition: what was advised, and what was done"},
	{Name: "← p", Short: "back", Does: "to the addition before"},
	{Name: "o", Short: "overshoot", Does: "to the next place where the run went past its aim"},
	{Name: "w", Short: "why", Does: "the whole explanation, or the curve, where there is no room for both"},
	{Name: "+ -", Short: "speed", Does: "play faster or slower"},
	{Name: "e l", Short: "5 s", Does: "five seconds earlier or later; PgUp and PgDn a minute"},
	{Name: "g", Short: "go to", Does: "go to a time: 90, 1:30 or 1:02:03"},
	{Name: "Home", Does: "to the beginning; End to the end"},
	{Name: "?", Short: "keys", Does: "all keys"},
	{Name: "q", Short: "leave", Does: "leave; the journal is as it was"},
}

// replayHints are the same in order of weight, the way out before what is
// wanted less often.
var replayHints = slices.Concat(replayKeys[:3], replayKeys[len(replayKeys)-2:], replayKeys[4:5], replayKeys[3:4], replayKeys[5:len(replayKeys)-2])

func (m *replaying) press(key string) tea.Cmd {
	m.message, m.wrong = "", false
	if m.helping {
		m.helping = false
		return nil
	}
	if m.asking {
		m.ask(key)
		return nil
	}
	switch key {
	case " ":
		return m.toggle()
	case "q", "ctrl+c", "esc":
		return tea.Quit
	case "+", "=", "up":
		m.speed = math.Min(m.speed*2, 1280)
	case "-", "down":
		m.speed = math.Max(m.speed/2, 0.625)
	case "w":
		if m.screen().Story == "" {
			m.message, m.wrong = "nothing to explain here: w is for where the run went past its aim, o goes there", true
			return nil
		}
		m.whole = !m.whole
	case "g":
		m.asking, m.typed = true, nil
	case "?":
		m.helping = true
	default:
		m.move(key)
	}
	return nil
}

func (m *replaying) toggle() tea.Cmd {
	if m.playing = !m.playing; !m.playing {
		return nil
	}
	if m.t >= m.tape.Seconds() {
		m.jump(0)
	}
	m.last = time.Time{}
	return nextFrame()
}

func (m *replaying) move(key string) {
	switch key {
	case "right", "n":
		m.to(slices.IndexFunc(m.stops, func(s Stop) bool { return s.T > m.t }), "no addition after this")
	case "left", "p":
		m.to(m.previous(), "no addition before this")
	case "o":
		m.to(slices.IndexFunc(m.stops, func(s Stop) bool { return s.T > m.t && s.Story != "" }), "no overshoot after this")
	case "l":
		m.jump(m.t + 5)
	case "e":
		m.jump(m.t - 5)
	case "pgdown":
		m.jump(m.t + 60)
	case "pgup":
		m.jump(m.t - 60)
	case "home":
		m.jump(0)
	case "end":
		m.jump(m.tape.Seconds())
	default:
		m.message, m.wrong = terminal.Idle(key), true
	}
}

func (m *replaying) previous() int {
	for i, s := range slices.Backward(m.stops) {
		if s.T < m.t {
			return i
		}
	}
	return -1
}

func (m *replaying) to(stop int, none string) {
	if stop < 0 {
		m.message, m.wrong = none, true
		return
	}
	m.playing = false
	m.jump(m.stops[stop].T)
}

// ask takes a key of the time to go to.
func (m *replaying) ask(key string) {
	switch r := []rune(key); {
	case key == "esc" || key == "ctrl+c":
		m.asking = false
	case key == "backspace":
		m.typed = m.typed[:max(len(m.typed)-1, 0)]
	case key == "enter":
		m.asking = false
		if t, ok := parseClock(string(m.typed)); ok {
			m.jump(t)
		} else {
			m.message, m.wrong = fmt.Sprintf("%q is not a time: 90, 1:30 or 1:02:03", string(m.typed)), true
		}
	case len(r) == 1 && (r[0] == ':' || r[0] >= '0' && r[0] <= '9') && len(m.typed) < 9:
		m.typed = append(m.typed, r[0])
	}
}

// parseClock reads seconds, minutes and seconds, or hours too.
func parseClock(text string) (float64, bool) {
	parts := strings.Split(text, ":")
	if len(parts) > 3 {
		return 0, false
	}
	t := 0.0
	for _, p := range parts {
		v, err := strconv.ParseFloat(p, 64)
		if err != nil || !(v >= 0) {
			return 0, false
		}
		t = 60*t + v
	}
	return t, true
}

// View is the screen.
func (m *replaying) View() string {
	if m.w == 0 {
		return ""
	}
	return screen.Replayed(m.screen(), m.w, m.h)
}

func (m *replaying) screen() screen.Replay {
	r := screen.Replay{Seconds: m.tape.Seconds(), Playing: m.playing, Speed: m.speed, Whole: m.whole}
	r.State = screen.State{View: m.view, Message: m.message, Wrong: m.wrong, Keys: replayHints, Set: m.options.Set(os.Getenv)}
	if m.asking {
		r.Prompt = "go to: " + string(m.typed) + "_"
	}
	if m.helping {
		r.Help = replayKeys
	}
	for _, s := range m.stops {
		r.Marks = append(r.Marks, screen.ReplayMark{T: s.T, Over: s.Story != ""})
		if math.Abs(s.T-m.t) < 1e-9 || s.T < m.t && m.t-s.T < 2*m.speed*perFrame.Seconds() && m.playing {
			r.Done, r.Story = s.Done, s.Story
		}
	}
	return r
}
