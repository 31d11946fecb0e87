package tui

import (
	"fmt"
	"strings"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/tui/keyrow"
)

// cannotCheck is why no check can begin; empty when one can.
func (h *hand) cannotCheck() string {
	switch {
	case h.view.Away != nil:
		return "a check is in progress; Esc ends it"
	case h.typed != "" || h.counting:
		return "Esc first, then k"
	case h.view.Falling != nil:
		return "first say what was given: Enter, a number, or n for nothing"
	}
	return ""
}

// checkPrompt asks for the standards.
func (h *hand) checkPrompt() string {
	return fmt.Sprintf("check in standards, Enter for %s: ", strings.Join(h.view.Standards, " and "))
}

// check is a step of a check in standards.
func check(step, standards string) answer {
	return answer{want: &run.Intent{Kind: run.WantCheck, Code: step, Text: standards}}
}

// dipped says that the electrode is where it is wanted: in the standard, or in the
// beaker again.
func (h *hand) dipped() answer {
	switch w := h.view.Away; w.Stage {
	case calib.Done:
		return answer{want: &run.Intent{Kind: run.WantImmersed}}
	case calib.Settle:
		return sorry("it is in %s: leave it until the reading is taken; c takes it now", w.Standard)
	case calib.Ask:
		if h.view.ByHand {
			return sorry("type what the display shows, or c to take the value")
		}
	case calib.Immerse:
		if h.view.ByHand {
			return sorry("type what the display shows once it is steady, such as 7.02")
		}
	}
	return check(run.CheckIn, "")
}

// acceptIn takes the value in the standard as it is.
func (h *hand) acceptIn() answer {
	if s := h.view.Away.Stage; s == calib.Immerse || s == calib.Done {
		return sorry("there is no value to take yet")
	}
	return check(run.CheckTake, "")
}

// awayHints are the keys while the electrode is out of the beaker.
func awayHints(v run.View) []keyrow.Key {
	key := func(name, short string) keyrow.Key { return keyrow.Key{Name: name, Short: short} }
	more, stop := key("?", "keys"), key("Esc", "end the check")
	switch {
	case v.Away.Stage == calib.Done:
		return []keyrow.Key{key("Enter", "it is back in the beaker"), more}
	case v.Away.Stage == calib.Ask && v.ByHand:
		return []keyrow.Key{key("0-9", "what it shows"), key("c", "take the value"), stop, more}
	case v.Away.Stage == calib.Ask:
		return []keyrow.Key{key("Enter", "it is in again"), key("c", "take the value"), stop, more}
	case v.Away.Stage == calib.Settle:
		return []keyrow.Key{key("c", "take the value now"), stop, more}
	case v.ByHand:
		return []keyrow.Key{key("0-9", "what it shows"), stop, more}
	}
	return []keyrow.Key{key("Enter", "it is in"), stop, more}
}
