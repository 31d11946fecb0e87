package tui

import (
	"context"
	"os"
	"strings"

	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/widget"
)

// Presses of the calibration, as the line mode has them typed.
const (
	PressIn    = ""      // the electrode is in the standard
	PressAgain = "again" // from the start with this standard
	PressTake  = "take"  // accept the value now
	PressNew   = "new"   // from the first standard, not on from where it was broken off
	PressQuit  = "q"     // cancel
)

// CalibrationKeys are the keys of the calibration, in order of weight.
var CalibrationKeys = []screen.Key{
	{Name: "Enter", Short: "the electrode is in", Does: "the electrode is rinsed, blotted and in the standard"},
	{Name: "0-9", Short: "temperature", Does: "temperature of the standards in °C, then Enter; it goes before what the meter sends"},
	{Name: "a", Short: "again", Does: "from the start with this standard"},
	{Name: "t", Short: "accept now", Does: "accept the value now, although it has not settled where it was expected"},
	{Name: "q", Short: "cancel", Does: "cancel; for an hour it can be resumed from the last standard accepted"},
	{Name: "?", Short: "keys", Does: "all keys"},
}

// OfferKeys are the keys while a calibration that was broken off is offered.
var OfferKeys = []screen.Key{
	{Name: "Enter", Short: "resume", Does: "resume from the last standard accepted"},
	{Name: "n", Short: "from the start", Does: "from the start; what was accepted is discarded once a new standard is accepted"},
	{Name: "q", Short: "cancel", Does: "cancel; it is kept for the rest of the hour"},
	{Name: "?", Short: "keys", Does: "all keys"},
}

// hints are the keys in the row of keys: those that mean something in a mood, the
// likeliest first. The page of help has them all.
func hints(m screen.Mood) []screen.Key {
	in, temp, again, take, cancel, more := CalibrationKeys[0], CalibrationKeys[1], CalibrationKeys[2], CalibrationKeys[3], CalibrationKeys[4], CalibrationKeys[5]
	switch m {
	case screen.DoNow:
		return []screen.Key{in, temp, more, cancel}
	case screen.LetBe:
		return []screen.Key{take, again, more, cancel, temp}
	case screen.LookAt:
		return []screen.Key{again, take, more, cancel, temp}
	case screen.Offered:
		return OfferKeys
	}
	return CalibrationKeys
}

var calibrationPresses = map[string]string{
	"enter": PressIn, "a": PressAgain, "t": PressTake, "q": PressQuit, "ctrl+c": PressQuit,
}

var offerPresses = map[string]string{"enter": PressIn, "n": PressNew, "q": PressQuit, "ctrl+c": PressQuit}

// Calibrate shows a calibration on the terminal.
func Calibrate(ctx context.Context, leader Leader[screen.Calibration], o Options) error {
	return lead(ctx, leader, func(press func(string)) led[screen.Calibration] {
		return calibrating(press, o.Speak, o.set(os.Getenv))
	}, PressQuit, o)
}

func calibrating(press, say func(string), set *widget.Set) led[screen.Calibration] {
	return led[screen.Calibration]{
		draw: screen.Calibrate, state: screen.Calibration{Set: set},
		take: func(was, came screen.Calibration) screen.Calibration {
			if say != nil && came.Sentence != was.Sentence {
				say(clean(came.Sentence))
			}
			came.Set, came.Typed, came.Help, came.Keys = was.Set, was.Typed, was.Help, hints(came.Mood)
			return came
		},
		key: func(st screen.Calibration, key string) screen.Calibration { return calibrationKey(st, key, press) },
	}
}

// keysIn are the keys of a mood, and what they press.
func keysIn(m screen.Mood) ([]screen.Key, map[string]string) {
	if m == screen.Offered {
		return OfferKeys, offerPresses
	}
	return CalibrationKeys, calibrationPresses
}

// mostTyped is how many characters a temperature has.
const mostTyped = 5

// calibrationKey takes a key: of a temperature, which stays typed in the state, or what
// the person wants.
func calibrationKey(st screen.Calibration, key string, press func(string)) screen.Calibration {
	keys, presses := keysIn(st.Mood)
	if helping := len(st.Help) > 0; helping || key == "?" { // what to do was not on the screen, so no key does it
		st.Help = keys
		if helping {
			st.Help = nil
		}
		if key != "ctrl+c" {
			return st
		}
	}
	want, ok := presses[key]
	switch {
	case st.Mood == screen.Offered:
		if ok {
			press(want)
		}
	case len(key) == 1 && strings.Contains("0123456789.,", key) && len(st.Typed) < mostTyped:
		st.Typed += key
	case key == "backspace" && st.Typed != "":
		st.Typed = st.Typed[:len(st.Typed)-1]
	case key == "esc":
		st.Typed = ""
	case key == "enter" && st.Typed != "":
		press(st.Typed)
		st.Typed = ""
	case ok:
		press(want)
	}
	return st
}
