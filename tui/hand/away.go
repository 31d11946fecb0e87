package hand

import (
	"fmt"
	"strings"

	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/keyrow"
)

// CannotCheck is why no check can begin; empty when one can.
func (h *Hand) CannotCheck() string {
	switch {
	case h.View.Away != nil:
		return "a check is in progress; Esc ends it"
	case h.Typed != "" || h.Counting:
		return "Esc first, then k"
	case h.View.Falling != nil:
		return "first say what was given: Enter, a number, or n for nothing"
	}
	return ""
}

// CheckPrompt asks for the standards.
func (h *Hand) CheckPrompt() string {
	return fmt.Sprintf("check in standards, Enter for %s: ", strings.Join(h.View.Standards, " and "))
}

// Check is a step of a check in standards.
func Check(step, standards string) Answer {
	return Answer{Want: &intent.Intent{Kind: intent.Check, Code: step, Text: standards}}
}

// dipped says that the electrode is where it is wanted: in the standard, or in the
// beaker again.
func (h *Hand) dipped() Answer {
	switch w := h.View.Away; w.Stage {
	case walk.Done:
		return Answer{Want: &intent.Intent{Kind: intent.Immersed}}
	case walk.Settle:
		return Sorry("it is in %s: leave it until the reading is taken; c takes it now", w.Standard)
	case walk.Ask:
		if h.View.ByHand {
			return Sorry("type what the display shows, or c to take the value")
		}
	case walk.Immerse:
		if h.View.ByHand {
			return Sorry("type what the display shows once it is steady, such as 7.02")
		}
	}
	return Check(intent.CheckIn, "")
}

// acceptIn takes the value in the standard as it is.
func (h *Hand) acceptIn() Answer {
	if s := h.View.Away.Stage; s == walk.Immerse || s == walk.Done {
		return Sorry("there is no value to take yet")
	}
	return Check(intent.CheckTake, "")
}

// AwayHints are the keys while the electrode is out of the beaker.
func AwayHints(v view.View) []keyrow.Key {
	key := func(name, short string) keyrow.Key { return keyrow.Key{Name: name, Short: short} }
	more, stop := key("?", "keys"), key("Esc", "end the check")
	switch {
	case v.Away.Stage == walk.Done:
		return []keyrow.Key{key("Enter", "it is back in the beaker"), more}
	case v.Away.Stage == walk.Ask && v.ByHand:
		return []keyrow.Key{key("0-9", "what it shows"), key("c", "take the value"), stop, more}
	case v.Away.Stage == walk.Ask:
		return []keyrow.Key{key("Enter", "it is in again"), key("c", "take the value"), stop, more}
	case v.Away.Stage == walk.Settle:
		return []keyrow.Key{key("c", "take the value now"), stop, more}
	case v.ByHand:
		return []keyrow.Key{key("0-9", "what it shows"), stop, more}
	}
	return []keyrow.Key{key("Enter", "it is in"), stop, more}
}
