package led

import (
	"context"
	"os"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/terminal"
)

// Presses of the calibration, as the line mode has them typed.
const (
	PressIn    = ""      // the electrode is in the standard
	PressAgain = "again" // from the start with this standard
	PressTake  = "take"  // accept the value now
	PressBack  = "back"  // the standard before once more
	PressNew   = "new"   // from the first standard, not on from where it was broken off
	PressQuit  = "q"     // cancel
)

// CalibrationKeys are the keys of the calibration, in order of weight.
var CalibrationKeys = []keyrow.Key{
	{Name: "Enter", Short: "it is in", Does: "the electrode is rinsed, blotted and in the standard"},
	{Name: "0-9", Short: "temperature", Does: "temperature of the standards in °C, then Enter; it overrides what the meter sends"},
	{Name: "a", Short: "again", Does: "from the start with this standard"},
	{Name: "t", Short: "accept now", Does: "accept the value now, although it has not settled where it was expected"},
	{Name: "u", Short: "back", Does: "discard the standard accepted last, and read it again"},
	{Name: "q", Short: "cancel", Does: "cancel; for an hour it can be resumed from the last standard accepted"},
	{Name: "?", Short: "keys", Does: "all keys"},
}

// OfferKeys are the keys while a calibration that was broken off is offered.
var OfferKeys = []keyrow.Key{
	{Name: "Enter", Short: "resume", Does: "resume from the last standard accepted"},
	{Name: "n", Short: "from the start", Does: "from the start; what was accepted is discarded once a new standard is accepted"},
	{Name: "q", Short: "cancel", Does: "cancel; it is kept for the rest of the hour"},
	{Name: "?", Short: "keys", Does: "all keys"},
}

// hints are the keys in the row of keys: those that mean something in a mood, the
// likeliest first. The page of help has them all.
func hints(m screen.Mood) []keyrow.Key {
	in, temp, again, take, back, cancel, more := CalibrationKeys[0], CalibrationKeys[1], CalibrationKeys[2], CalibrationKeys[3], CalibrationKeys[4], CalibrationKeys[5], CalibrationKeys[6]
	switch m {
	case screen.DoNow:
		return []keyrow.Key{in, temp, back, more, cancel}
	case screen.LetBe:
		return []keyrow.Key{take, again, back, more, cancel, temp}
	case screen.LookAt:
		return []keyrow.Key{again, take, back, more, cancel, temp}
	case screen.Offered:
		return OfferKeys
	}
	return CalibrationKeys
}

var calibrationPresses = map[string]string{
	"enter": PressIn, "a": PressAgain, "u": PressBack, "t": PressTake, "q": PressQuit, "ctrl+c": PressQuit,
}

var offerPresses = map[string]string{"enter": PressIn, "n": PressNew, "q": PressQuit, "ctrl+c": PressQuit}

// Calibrate shows a calibration on the terminal.
func Calibrate(ctx context.Context, leader Leader[screen.Calibration], o terminal.Options) error {
	return lead(ctx, leader, func(states <-chan screen.Calibration, press func(string)) tea.Model {
		m := calibrating{states: states, press: press, say: o.Speak}
		m.state.Set = o.Set(os.Getenv)
		return m
	}, PressQuit, o)
}

// calibrating is the program model: the latest state, and the size.
type calibrating struct {
	states <-chan screen.Calibration
	press  func(string)
	state  screen.Calibration
	typed  string // digits of a temperature
	help   bool   // the keys are shown
	told   string // about a key that did nothing
	say    func(sentence string)
	w, h   int
}

// calibrationOver says that no more states come.
type calibrationOver struct{}

func (m calibrating) Init() tea.Cmd { return m.next }

func (m calibrating) next() tea.Msg {
	st, open := <-m.states
	if !open {
		return calibrationOver{}
	}
	return st
}

// Update takes a state, a size or a key.
func (m calibrating) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case screen.Calibration:
		if m.say != nil && msg.Sentence != m.state.Sentence {
			m.say(terminal.Clean(msg.Sentence))
		}
		msg.Set, msg.Typed, msg.Help = m.state.Set, m.typed, m.state.Help
		msg.Keys = hints(msg.Mood)
		if !slices.ContainsFunc(msg.Dips, func(d screen.Dip) bool { return d.Value != "" }) { // nothing to go back to
			msg.Keys = slices.DeleteFunc(msg.Keys, func(k keyrow.Key) bool { return k.Name == "u" })
		}
		if m.told != "" {
			msg.Message, msg.Wrong = m.told, true
		}
		m.state = msg
		return m, m.next
	case calibrationOver:
		return m, tea.Quit
	case tea.WindowSizeMsg:
		m.w, m.h = msg.Width, msg.Height
	case tea.KeyMsg:
		for _, key := range terminal.Keys(msg) {
			m = m.key(key)
		}
	}
	return m, nil
}

// keysIn are the keys of a mood, and what they press.
func keysIn(m screen.Mood) ([]keyrow.Key, map[string]string) {
	if m == screen.Offered {
		return OfferKeys, offerPresses
	}
	return CalibrationKeys, calibrationPresses
}

// mostTyped is how many characters a temperature has.
const mostTyped = 5

// key takes a key: of a temperature, or what the person wants.
func (m calibrating) key(key string) calibrating {
	keys, presses := keysIn(m.state.Mood)
	if m.help || key == "?" { // what to do was not on the screen, so no key does it
		m.help, m.state.Help = !m.help, nil
		if m.help {
			m.state.Help = keys
		}
		if key != "ctrl+c" {
			return m
		}
	}
	want, ok := presses[key]
	m.told = ""
	switch {
	case m.state.Mood == screen.Offered:
		if ok {
			m.press(want)
		} else {
			m.told = terminal.Idle(key)
		}
	case len(key) == 1 && strings.Contains("0123456789.,", key) && len(m.typed) < mostTyped:
		m.typed += key
	case key == "backspace" && m.typed != "":
		m.typed = m.typed[:len(m.typed)-1]
	case key == "esc" && m.typed != "":
		m.typed = ""
	case key == "enter" && m.typed != "":
		m.press(m.typed)
		m.typed = ""
	case ok && m.means(want):
		m.press(want)
	case key == "enter" && m.state.Mood == screen.LetBe:
		m.told = "the electrode is in: leave it until the reading is taken"
	default:
		m.told = terminal.Idle(key)
	}
	m.state.Typed, m.state.Message, m.state.Wrong = m.typed, m.told, m.told != ""
	return m
}

// means reports whether what a key presses is of use now.
func (m calibrating) means(want string) bool {
	switch want {
	case PressIn:
		return m.state.Mood == screen.DoNow
	case PressAgain, PressTake:
		return m.state.Mood == screen.LetBe || m.state.Mood == screen.LookAt
	}
	return true
}

// View draws the state in the size of the terminal.
func (m calibrating) View() string { return screen.Calibrate(m.state, m.w, m.h) }
