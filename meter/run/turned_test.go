package run_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/propose"
)

// wide is a beaker that buffers from 5.5 to 7.8, with a base and an acid beside it.
func wide() recipe.Plan {
	p := tris()
	p.Target = recipe.Target{PH: num(7.2), Tolerance: num(0.02)}
	p.Beaker = recipe.Beaker{StartML: num(400), FinalML: num(500), TempC: num(22.8)}
	p.Weighed = []recipe.Weighed{{Reagent: "MES", MMol: num(10)}, {Reagent: "MOPS", MMol: num(10)}}
	p.Titrants = []recipe.Titrant{{Name: "NaOH 1 M", Reagent: "NaOH", Molar: num(1), DropUL: num(50)}, {Name: "HCl 1 M", Reagent: "HCl", Molar: num(1), DropUL: num(50)}}
	return p
}

// The electrode goes into a standard as the drops fall: the reading comes to rest two pH
// against the base that was put on record. That is asked about, and nothing ordered on it;
// back in the beaker the run goes on, and who carries on from there is not asked again.
// Less than turnedBy, and what a first addition does, tell something else.
func TestAReadingThatGoesAgainstItsAddition(t *testing.T) {
	for _, c := range []struct {
		name   string
		to     float64
		first  bool
		answer journal.Kind
		back   float64
		asks   bool
	}{
		{"into a standard, and back", 4.01, false, journal.Immersed, 6.9, true},
		{"said to be in, and it stays", 4.01, false, journal.Immersed, 4.01, true},
		{"carried on with", 4.01, false, journal.Confirmed, 4.01, true},
		{"the way it leads, to a standard", 9.18, false, journal.Immersed, 6.9, true},
		{"the way it leads, elsewhere", 9.6, false, "", 0, false},
		{"most of a pH", 5.5, false, journal.Confirmed, 5.5, true},
		{"a little", 6.1, false, "", 0, false},
		{"the first addition", 4.01, true, "", 0, false},
	} {
		b := planned(t, wide())
		b.shown(3.9, 0.002, 60)
		if !c.first {
			b.add("NaOH 1 M", 120)
			b.shown(6.3, 0.002, 100)
		}
		b.add("NaOH 1 M", 60)
		asked := 0
		for _, v := range b.shown(c.to-map[bool]float64{true: 0.4}[c.first], 0.002, 60) {
			if v.Advice.Do == coach.Check && v.Turned != "" {
				asked++
				assert.Equal(t, coach.Moved, v.Advice.Reason)
				words := "it went against 60 drops (3.00 mL) of NaOH 1 M: put the electrode back"
				if c.to == 9.18 {
					words = "expected after 60 drops (3.00 mL) of NaOH 1 M: put the electrode back"
					assert.Contains(t, v.Why(), "a standard has this pH, and 6.", c.name)
				}
				assert.Contains(t, v.Why(), words, c.name)
			} else if c.asks {
				assert.NotEqual(t, coach.Add, v.Advice.Do, "%s: %s", c.name, v.Sentence())
			}
		}
		assert.Equal(t, c.asks, asked > 30, "%s: %d s", c.name, asked)
		if c.answer == "" {
			continue
		}
		require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: c.answer}))
		for i, v := range b.shown(c.back, 0.002, 60) {
			assert.Empty(t, v.Turned, "%s, %d s: %s", c.name, i, v.Sentence())
		}
	}
}

// Where another bottle explains a reading that went against its addition, that bottle is named,
// and y puts the record right: it was said that the electrode is out, or that something went by
// itself, and the record stayed wrong.
func TestAReadingThatAnotherBottleExplains(t *testing.T) {
	b := planned(t, wide())
	b.shown(3.9, 0.002, 60)
	b.add("NaOH 1 M", 120)
	b.shown(6.3, 0.002, 100)
	b.add("NaOH 1 M", 60) // 3 mmol of acid instead: back to where 3 mmol of base lead, near 5.8
	named := 0
	for _, v := range b.shown(5.8, 0.002, 60) {
		require.Empty(t, v.Turned, v.Sentence())
		if v.Advice.Do == coach.Check && v.Codes()[0] == "bottle:2:HCl 1 M" {
			named++
		}
	}
	require.Greater(t, named, 10)
	e, says, err := propose.Confirming(b.keep.State, b.sec, "bottle:2:HCl 1 M")
	require.NoError(t, err)
	assert.Contains(t, says, "60 drops (3.00 mL) were of HCl 1 M, not of NaOH 1 M")
	require.NoError(t, b.keep.Take(e))
	en, _ := b.keep.State.Latest()
	assert.Equal(t, 1, en.Stock)
	v := b.shown(5.8, 0.002, 20)[19]
	assert.Equal(t, coach.Add, v.Advice.Do, v.Sentence())
	assert.Equal(t, "NaOH 1 M", v.Titrant)
}
