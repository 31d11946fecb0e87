package score

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/replay/replaytest"
	"example.org/halfdrop/meter/run/view"
)

// An answer within twice the spread that was wanted is right, at eight times it is worth
// nothing; half a per cent is right in any case, as a curve is read by eye. A pK within 0.1 is
// right, at 0.4 worth nothing, and is half of the answer where it is looked for.
func TestWhatAnAnswerIsWorth(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct{ err, wanted, pk, share float64 }{
		{0.0199, 0.01, nan, 1}, {0.05, 0.01, nan, 0.5}, {0.08, 0.01, nan, 0},
		{0.0099, 0.001, nan, 1}, {0.025, 0.001, nan, 0.5}, {0.04, 0.001, nan, 0},
		{0.01, 0.01, 0.09, 1}, {0.01, 0.01, 0.25, 0.75}, {0.01, 0.01, 0.4, 0.5}, {1, 0.01, 0.1, 0.5},
	} {
		d := Determination{Error: c.err, Wanted: c.wanted, errPK: c.pk}
		assert.InDelta(t, c.share, d.share(), 1e-9, "%+v", c)
		assert.Equal(t, c.share == 1, d.right(), "%+v", c)
	}
}

// The readings of a run say the answer as well as was to be had where they reach what was
// wanted, or come to a tenth of what the coach has reached; at four times that nothing is left.
func TestWhatTheReadingsAreWorth(t *testing.T) {
	for _, c := range []struct{ sd, wanted, best, share float64 }{{0.01, 0.01, 0, 1}, {0.02, 0.01, 0, 0.5}, {0.04, 0.01, 0, 0}, {0.022, 0.01, 0.02, 1}, {0.044, 0.01, 0.02, 0.5}} {
		j := judging(t, told(base, 1))
		d := &Determination{Found: 1, SD: c.sd, Wanted: c.wanted, Best: c.best}
		assert.InDelta(t, c.share, j.spread(d).share, 1e-9, "%+v", c)
		assert.Equal(t, c.share == 1, d.enough(), "%+v", c)
	}
}

// A reading counts for its side of an equivalence point within 15 % of the volume, and at
// rest: known to 0.05, or to 0.1 where the answer is known as well as was to be had.
func TestSidesOfAPoint(t *testing.T) {
	known, vague := Determination{Found: 1, SD: 0.001, Wanted: 0.01}, Determination{Found: 1, SD: 0.1, Wanted: 0.01}
	for _, c := range []struct {
		d    Determination
		list []view.FoundStep
		want [2]bool
	}{
		{vague, []view.FoundStep{{ML: 8.6, SD: 0.04}, {ML: 11.4, SD: 0.04}}, [2]bool{true, true}},
		{vague, []view.FoundStep{{ML: 8.4, SD: 0.04}, {ML: 11.6, SD: 0.04}}, [2]bool{false, false}},
		{vague, []view.FoundStep{{ML: 9.5, SD: 0.06}, {ML: 10.5, SD: 0.04}}, [2]bool{false, true}},
		{known, []view.FoundStep{{ML: 9.5, SD: 0.09}, {ML: 10.5, SD: 0.11}}, [2]bool{true, false}},
	} {
		d := c.d
		d.sides(c.list, facts{points: []float64{10}})
		assert.Equal(t, c.want, d.Sides, "%+v", c.list)
	}
	j := judging(t, told(base, 1))
	for sides, share := range map[[2]bool]float64{{true, true}: 1, {true, false}: 0.5, {false, true}: 0.5, {}: 0} {
		assert.InDelta(t, share, j.sides(&Determination{Sides: sides}).share, 1e-9, "%v", sides)
	}
	near := known
	near.Sides = [2]bool{true, false}
	assert.InDelta(t, 1, j.sides(&near).share, 1e-9, "as the coach may leave it")
}

// Answers as people write them down, and what is none.
func TestStatedAnswers(t *testing.T) {
	for text, want := range map[string]stated{
		"answer 24.85 mL": {"ml", 24.85, ""}, "Answer: 0,1043 mol/L": {"mol/l", 0.1043, ""}, "answer = 0.1 M.": {"mol/l", 0.1, ""}, "answer 2.5 mmol": {"mmol", 2.5, ""},
		"answer pK 4.76": {"pk", 4.76, ""}, "answer pKa=4.8": {"pk", 4.8, ""},
	} {
		got, ok := statedIn(text)
		assert.True(t, ok, text)
		want.text = text
		assert.Equal(t, want, got)
	}
	for _, text := range []string{"answer 24.85", "answer pK 4.76 mL", "the answer is 24.85 mL", "answer mL", "answers 24 mL"} {
		_, ok := statedIn(text)
		assert.False(t, ok, text)
	}
}

// An answer is judged by the best of what was written, each in its unit.
func TestAnswersInTheirUnits(t *testing.T) {
	f := facts{value: 2.5e-3, pk: 4.76, sample: 0.1, points: []float64{12, 25}, main: 25}
	for _, c := range []struct {
		kind           string
		value, err, pk float64
		ml             float64
	}{{"ml", 24.5, 0.02, 1, 25}, {"ml", 12.12, 0.01, 1, 12}, {"mmol", 2.55, 0.02, 1, 25}, {"mol/l", 0.103, 0.03, 1, 25}, {"pk", 4.86, 1, 0.1, 25}} {
		d := Determination{Unit: "mmol", Value: 2.5, Error: 1, ML: 25, errPK: 1}
		d.answered(map[string]stated{c.kind: {c.kind, c.value, "answer"}}, f)
		assert.InDelta(t, c.err, d.Error, 1e-9, "%+v", c)
		assert.InDelta(t, c.pk, d.errPK, 1e-9, "%+v", c)
		assert.InDelta(t, c.ml, d.ML, 1e-9, "%+v", c)
	}
	d := Determination{Unit: "mol/L", Value: 0.1, Error: 1, errPK: math.NaN()}
	d.answered(map[string]stated{"mol/l": {"mol/l", 0.102, "answer"}}, facts{})
	assert.InDelta(t, 0.02, d.Error, 1e-9, "of a bottle")
}

// A reading of a determination was on its way that had more than 0.05 to go; one that was as
// advised never was.
func TestOnItsWay(t *testing.T) {
	at := func(s replay.Step, shown, ph float64) replay.Step {
		s.Before = replay.Standing{Shown: shown, PH: ph}
		return s
	}
	assert.False(t, onItsWay(at(own(base, 1), 7, 7.049)))
	assert.True(t, onItsWay(at(own(base, 1), 7, 7.051)))
	assert.True(t, onItsWay(at(own(base, 1), math.NaN(), 7)))
	assert.False(t, onItsWay(at(told(base, 1), 7, 8)))
	for ml, verdict := range map[float64]string{0.49: "49 % of it", 0.51: "as the coach", 1.9: "as the coach", 2.5: "2.5 × as much"} {
		s := told(base, 1)
		s.ML = ml
		assert.Equal(t, verdict, besideTelling(s))
	}
}

// A name alone is worth a fifth of a fault, and all of it with what shows it; each wrong one
// takes a quarter, and asking takes 85 % of what is left.
func TestNames(t *testing.T) {
	share := func(exercise string, asks, wrong int, right ...practice.Named) float64 {
		e, err := practice.Find(exercise)
		require.NoError(t, err)
		slip := practice.Slip{Exercise: e.Name, Seed: e.Seed, Coach: practice.Ask}
		first, err := practice.Start(e, slip, time.Unix(0, 0), "test", "")
		require.NoError(t, err)
		r, err := replaytest.Of([]journal.Event{first})
		require.NoError(t, err)
		j := judge{e: e, slip: slip, run: r, c: &practice.Course{Asks: make([]float64, asks)}, res: &Result{Seconds: 300}, worth: map[string]float64{"faults": 1000}}
		for _, n := range right {
			n.T, n.Right = 300, true
			j.c.Names = append(j.c.Names, n)
		}
		for range wrong {
			j.c.Names = append(j.c.Names, practice.Named{T: 300, Name: "other", At: math.NaN()})
		}
		require.NoError(t, j.faults())
		return j.res.Items[0].Got / j.res.Items[0].Of
	}
	guess, shown := practice.Named{Name: "wrong_salt", At: math.NaN()}, practice.Named{Name: "wrong_salt", At: 60}
	assert.InDelta(t, 0.2, share("tidal-samples", 0, 0, guess), 1e-3)
	assert.InDelta(t, 1, share("tidal-samples", 0, 0, shown), 1e-3)
	assert.InDelta(t, 1, share("tidal-samples", 0, 0, shown, shown), 1e-3, "named twice it is one")
	assert.InDelta(t, 0.75, share("tidal-samples", 0, 1, shown), 1e-3)
	assert.InDelta(t, 0.5*0.15, share("tidal-samples", 1, 2, shown), 1e-3)
	assert.Zero(t, share("tidal-samples", 0, 1, guess), "a fifth less a quarter")
	assert.Zero(t, share("tidal-samples", 0, 0))
	assert.InDelta(t, 0.1, share("two-troubles", 0, 0, practice.Named{Name: "vortex", At: math.NaN()}), 1e-3, "one of two")

	j := judging(t, own(base, 1))
	assert.InDelta(t, 0.5, j.untouched().share, 1e-9, "one addition into what should have been left alone")
	j = judging(t)
	assert.Zero(t, j.untouched().share, "nothing was added, and nothing named")
	j.c.Names, j.shown = []practice.Named{{}}, 0.6
	assert.InDelta(t, 0.6, j.untouched().share, 1e-9)
}

// The dearest loss is what mattered; what is lost because the buffer was not finished is a
// consequence, and is not named.
func TestMoment(t *testing.T) {
	j := judging(t, told(base, 1))
	j.res.Items = []Item{{Key: "time", Name: "in good time", Of: 30, Keep: KeepFinishing}, {Key: "waiting", Name: "waited", Got: 2, Of: 10, Why: "hasty", Keep: "patience", T: 77}, {Key: "steps", Of: 5}}
	j.moment()
	assert.Equal(t, Moment{T: 77, Lost: true, Words: `The costliest loss, 8 of 10 for "waited": hasty. What would have saved it: patience.`}, j.res.Moment)
	j.res.Items = []Item{{Of: 5, Got: 5}}
	j.moment()
	assert.Contains(t, j.res.Moment.Words, "No points were lost")
}
