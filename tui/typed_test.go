package tui_test

import (
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/terminal"
)

// reading is a run by hand that wants a value.
func reading() view.View {
	v := waiting()
	v.ByHand, v.Next = true, &view.Next{In: -1}
	return v
}

// ordering is a run by hand in which an addition is ordered.
func ordering(drops float64) view.View {
	v := advising(drops)
	v.ByHand = true
	return v
}

func value(ph float64, decimals int, stands bool) intent.Intent {
	return intent.Intent{Kind: intent.Read, PH: ph, Decimals: decimals, Stands: stands}
}

// What a number is, by what the run wants and how it is written.
func TestNumbersOfARunByHand(t *testing.T) {
	for _, tt := range []struct {
		view view.View
		keys string
		want []intent.Intent
	}{
		{reading(), "7 . 4 2 Enter", []intent.Intent{value(7.42, 2, false)}},
		{reading(), "7,42 s", []intent.Intent{value(7.42, 2, true)}},
		{reading(), "7.42s", []intent.Intent{value(7.42, 2, true)}},
		{reading(), "7.4 Enter", []intent.Intent{value(7.4, 1, false)}},
		{reading(), "s", []intent.Intent{value(6.91, 2, true)}}, // it stands where it was read last
		{reading(), "0.6 m Enter", []intent.Intent{{Kind: intent.Add, Titrant: "NaOH 1 M", ML: 0.6}}},
		{reading(), "12 Enter d", []intent.Intent{add("NaOH 1 M", 12)}},
		{reading(), "7 Enter p", []intent.Intent{value(7, 0, false)}},
		{reading(), "7 Enter Esc", nil},
		{reading(), "12 Enter", nil}, // it is asked
		{ordering(12), "Enter", []intent.Intent{add("NaOH 1 M", 12)}},
		{ordering(12), "7 Enter", []intent.Intent{add("NaOH 1 M", 7)}},
		{ordering(12), "0.5 Enter", []intent.Intent{add("NaOH 1 M", 0.5)}},
		{ordering(12), "7.42 Enter", []intent.Intent{value(7.42, 2, false)}},
		{ordering(12), "7.5 p Enter", []intent.Intent{value(7.5, 1, false)}},
		{ordering(12), "7.5 s", []intent.Intent{value(7.5, 1, true)}},
		{waiting(), "7.5 Enter", []intent.Intent{add("NaOH 1 M", 7.5)}}, // with a line a number is an amount
		{waiting(), "7.42 Enter", nil},                                  // and nobody counts hundredths of drops
		{waiting(), "s", nil},
		{waiting(), "7 p", nil},
	} {
		b := start(t, tt.view)
		b.keys(tt.keys)
		assert.Equal(t, tt.want, b.wants(), tt.keys)
	}
	mixing := reading()
	mixing.Next.Mixing = true
	b := start(t, mixing)
	b.keys("s")
	assert.Empty(t, b.wants(), "what stood before the addition is not what stands now")
}

func TestASlipIsAsked(t *testing.T) {
	in := value(7.24, 2, true)
	for key, want := range map[string][]intent.Intent{
		"y":   {{Kind: intent.Read, PH: 7.42, Decimals: 2, Stands: true, Sure: true}},
		"n":   {{Kind: intent.Read, PH: 7.24, Decimals: 2, Stands: true, Sure: true}},
		"Esc": nil,
	} {
		b := start(t, reading())
		v := reading()
		v.Answers = []intent.Answer{{To: in, Asks: true, Failed: true, Text: "7.24 is far: was it 7.42?", Slip: &intent.Slip{Typed: "7.24", Meant: "7.42"}}}
		b.show(v)
		assert.Contains(t, b.screen(), "was it 7.42?")
		b.keys(key)
		assert.Equal(t, want, b.wants(), key)
	}
	b := start(t, reading())
	v := reading()
	v.Answers = []intent.Answer{{To: in, Asks: true, Failed: true, Text: "74.2 is no pH: was it 7.42?", Slip: &intent.Slip{Typed: "74.2", Meant: "7.42", Never: true}}}
	b.show(v)
	b.keys("n")
	assert.Empty(t, b.wants(), "no answer makes a pH of it")
}

func TestTheScreenAsksForAValue(t *testing.T) {
	b := start(t, reading())
	assert.Contains(t, b.screen(), "READ the pH and type it")
	assert.Contains(t, b.screen(), "s it is steady")
	b.keys("7.4")
	assert.Contains(t, b.screen(), "pH 7.4_")
	assert.Contains(t, b.screen(), "Enter still moving")
	b = start(t, ordering(12))
	b.keys("7")
	assert.Contains(t, b.screen(), "added 7_ drops")
}

// The bell rings when a value is wanted, once.
func TestTheBellAsksForAValue(t *testing.T) {
	n := 0
	later := reading()
	later.Next = &view.Next{In: 12}
	b := ringing(t, later, true, func() { n++ })
	b.show(later)
	assert.Zero(t, n)
	b.show(reading())
	b.show(reading())
	assert.Equal(t, 1, n)
}

func TestPlainRunByHand(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k := speak(t, terminal.Options{})
		assert.Contains(t, k.show(reading()), "READ the pH and type it.")
		later := reading()
		later.Next = &view.Next{In: 14}
		assert.Contains(t, k.show(later), "WAIT 15 s, or until it is steady, then type the pH.")
		later.Next = &view.Next{In: 7}
		assert.Empty(t, k.show(later), "the seconds that run down are not read out")
		for _, line := range []string{"7.42", "7,42 s", "pH 7.5", "s"} {
			k.say(line)
		}
		assert.Equal(t, []intent.Intent{value(7.42, 2, false), value(7.42, 2, true), value(7.5, 1, false), value(6.91, 2, true)}, k.wants())
		k.show(ordering(12))
		k.say("7")
		assert.Equal(t, add("NaOH 1 M", 7), k.wants()[4])
		k.say("q")
		k.say("y")
		k.keys.Close()
	})
}
