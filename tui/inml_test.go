package tui_test

import (
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/terminal"
)

// burette is a run in which 21.35 mL of the first bottle are ordered, which a burette gives.
func burette() view.View {
	v := advising(0)
	v.Advice.Do, v.Advice.Drops, v.Advice.Volume = coach.Add, 0, 21.35e-3
	v.InML = []bool{true, true, false}
	return v
}

// Of a bottle that is given in mL a number is mL, and never drops: a burette is set to the
// mark nearest to what was ordered, and that is typed.
func TestNumbersOfABurette(t *testing.T) {
	const naoh, hcl = "NaOH 1 M", "HCl 0.1 M"
	ml := func(name string, x float64) intent.Intent {
		return intent.Intent{Kind: intent.Add, Titrant: name, ML: x}
	}
	typed := burette()
	typed.ByHand = true
	asked := typed
	asked.Advice = coach.Advice{Do: coach.Wait, Reason: coach.Settling, Aim: 7.32, Tolerance: 0.02}
	asked.Next = &view.Next{}
	idle := waiting()
	idle.InML = typed.InML
	for _, tt := range []struct {
		name string
		view view.View
		keys string
		want []intent.Intent
	}{
		{"as ordered", burette(), "Enter", []intent.Intent{ml(naoh, 21.35)}},
		{"what the scale shows", burette(), "21.40 Enter", []intent.Intent{ml(naoh, 21.4)}},
		{"with its unit", burette(), "21.4 m Enter", []intent.Intent{ml(naoh, 21.4)}},
		{"of the dropper beside it", burette(), "tt 3 Enter", []intent.Intent{add(hcl, 3)}},
		{"nothing is ordered", idle, "0.30 Enter", []intent.Intent{ml(naoh, 0.3)}},
		{"nothing is counted", idle, "Space Space Enter", nil},
		{"a correction", burette(), "21.4 e 2", []intent.Intent{{Kind: intent.Correct, ML: 21.4, Text: "mis-keyed"}}},
		{"by hand, above any pH", typed, "21.40 Enter", []intent.Intent{ml(naoh, 21.4)}},
		{"by hand, either way, asked", typed, "7.05 Enter", nil},
		{"by hand, the mL", typed, "7.05 Enter m", []intent.Intent{ml(naoh, 7.05)}},
		{"by hand, the pH", typed, "7.05 Enter p", []intent.Intent{value(7.05, 2, false)}},
		{"by hand, said at once", typed, "7.05 m Enter", []intent.Intent{ml(naoh, 7.05)}},
		{"by hand, it stands", typed, "7.05 s", []intent.Intent{value(7.05, 2, true)}},
		{"by hand, while a pH is asked for", asked, "7.05 Enter", []intent.Intent{value(7.05, 2, false)}},
		{"by hand, a whole number then", asked, "7 Enter m", []intent.Intent{ml(naoh, 7)}},
	} {
		b := start(t, tt.view)
		b.keys(tt.keys)
		assert.Equal(t, tt.want, b.wants(), tt.name)
	}
	b := start(t, burette())
	b.keys("2 1 . 4")
	assert.Contains(t, b.screen(), "added 21.4_ mL of NaOH 1 M")
}

func TestPlainLinesOfABurette(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k := speak(t, terminal.Options{})
		assert.Contains(t, k.show(burette()), "ADD 21.35 mL of NaOH 1 M", "no digit of the scale is left out")
		k.say("21.40")
		assert.Contains(t, k.say("6 drops"), "NaOH 1 M is given in mL, not in drops. Nothing is recorded.")
		k.say("3 drops HCl 0.1 M")
		v := burette()
		v.ByHand, v.Heard = true, k.latest()
		k.show(v)
		assert.Contains(t, k.say("7.05"), "7.05: is it the pH, or mL of NaOH 1 M that were added?")
		k.say("m")
		assert.Equal(t, []intent.Intent{{Kind: intent.Add, Titrant: "NaOH 1 M", ML: 21.4}, add("HCl 0.1 M", 3), {Kind: intent.Add, Titrant: "NaOH 1 M", ML: 7.05}}, k.wants())
		k.say("q")
		k.say("y")
		k.keys.Close()
	})
}
