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
	"example.org/halfdrop/tui/widget"
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
		return calibration(states, &calibrating{press: press, say: o.Speak}, o.Set(os.Getenv))
	}, PressQuit, o)
}

func calibration(states <-chan screen.Calibration, m *calibrating, set *widget.Set) led[screen.Calibration] {
	return led[screen.Calibration]{states: states, draw: screen.Calibrate, state: screen.Calibration{Set: set}, take: m.take, key: m.key}
}

// calibrating is what is kept from one state to the next.
type calibrating struct {
	press func(string)
	typed string // digits of a temperature
	told  string // about a key that did nothing
	say   func(sentence string)
}

// take takes a state that came.
func (m *calibrating) take(was, came screen.Calibration) screen.Calibration {
	if m.say != nil && came.Sentence != was.Sentence {
		m.say(terminal.Clean(came.Sentence))
	}
	came.Set, came.Typed, came.Help = was.Set, m.typed, was.Help
	came.Keys = hints(came.Mood)
	if !slices.ContainsFunc(came.Dips, func(d screen.Dip) bool { return d.Value != "" }) { // nothing to go back to
		came.Keys = slices.DeleteFunc(slices.Clone(came.Keys), func(k keyrow.Key) bool { return k.Name == "u" })
	}
	if came.Mood != was.Mood {
		m.told = "" // it was about a key of another moment, and may contradict this one
	}
	if m.told != "" {
		came.Message, came.Wrong = m.told, true
	}
	return came
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
func (m *calibrating) key(st screen.Calibration, key string) screen.Calibration {
	keys, presses := keysIn(st.Mood)
	if len(st.Help) > 0 || key == "?" { // what to do was not on the screen, so no key does it
		if len(st.Help) > 0 {
			st.Help = nil
		} else {
			st.Help = keys
		}
		if key != "ctrl+c" {
			return st
		}
	}
	want, ok := presses[key]
	m.told = ""
	switch {
	case st.Mood == screen.Offered:
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
	case ok && means(st.Mood, want):
		m.press(want)
	case key == "enter" && st.Mood == screen.LetBe:
		m.told = "the electrode is in: leave it until the reading is taken"
	default:
		m.told = terminal.Idle(key)
	}
	st.Typed, st.Message, st.Wrong = m.typed, m.told, m.told != ""
	return st
}

// means reports whether what a key presses is of use in a mood.
func means(mood screen.Mood, want string) bool {
	switch want {
	case PressIn:
		return mood == screen.DoNow
	case PressAgain, PressTake:
		return mood == screen.LetBe || mood == screen.LookAt
	}
	return true
}
