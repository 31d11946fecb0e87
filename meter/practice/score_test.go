package practice_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/score"
	"example.org/halfdrop/meter/replay/replaytest"
)

func item(t *testing.T, r score.Result, name string) score.Item {
	t.Helper()
	for _, i := range r.Items {
		if i.Name == name {
			return i
		}
	}
	require.Fail(t, "no item", name)
	return score.Item{}
}

// The score knows the truth to a drop, and who asks about everything has arrived
// and learned little: the coach said it all.
func TestObedientPerson(t *testing.T) {
	for _, name := range []string{"first-buffer", "strong-then-weak", "come-back"} {
		for _, seed := range []uint64{0, 5} {
			e, err := practice.Find(name)
			require.NoError(t, err)
			if seed == 0 {
				seed = e.Seed
			}
			p := sit(t, name, seed, practice.Full)
			p.obey()
			truly := p.bench.MadeUp()
			r := p.end()
			assert.InDelta(t, truly, r.Final, 1e-9, "%s: the bench is made again from the journal", name)
			assert.True(t, r.In, "%s seed %d: %.3f for %.2f", name, seed, r.Final, r.Target)
			if e.Coach == practice.Full {
				assert.GreaterOrEqual(t, r.Points, 95.0, "%s seed %d: %+v", name, seed, r.Items)
			} else {
				assert.LessOrEqual(t, r.Points, 60.0, "%s seed %d: %+v", name, seed, r.Items)
			}
			for _, i := range r.Items {
				assert.NotEmpty(t, i.Why)
				assert.True(t, i.Got >= 0 && i.Got <= i.Of)
			}
		}
	}
}

// Sixty drops at once where a quarter was wanted: the score, the debrief and
// the moment all speak of it.
func TestClumsyPerson(t *testing.T) {
	p := sit(t, "no-coach", 109, practice.Off)
	p.wait(80) // the coach has something to say by then
	p.drip("NaOH 1 M", 120)
	at := p.now
	p.wait(60)
	r := p.end()
	assert.False(t, r.In)
	assert.Equal(t, 1, r.Over)
	assert.Less(t, r.Points, 35.0)
	assert.Equal(t, 0.0, item(t, r, "in tolerance").Got)
	assert.Equal(t, 7.5, item(t, r, "no overshoot").Got, "half of 15")
	assert.Equal(t, 0.0, item(t, r, "few additions").Got, "economy counts only when the buffer came out right")
	assert.InDelta(t, at, r.Moment.T, 1)
	assert.Contains(t, r.Moment.Words, "past the target")
	assert.Contains(t, r.Moment.Words, "before them the meter showed")
	var text strings.Builder
	require.NoError(t, r.WriteText(&text))
	assert.Contains(t, text.String(), "\nThe costliest loss, ", "it says itself when it was")
	require.Len(t, r.Compare, 1)
	assert.Contains(t, r.Compare[0].Verdict, "what was safe")
	assert.Contains(t, r.Compare[0].Coach, "NaOH 1 M")
}

// Who goes on the wrong way after an overshoot loses the rest of the points.
func TestGoingOnPastTheAim(t *testing.T) {
	p := sit(t, "no-coach", 109, practice.Off)
	p.wait(40)
	for range 3 {
		p.drip("NaOH 1 M", 80)
		p.wait(40)
	}
	r := p.end()
	assert.Equal(t, 3, r.Over, "past it once, and twice on")
	assert.Contains(t, item(t, r, "no overshoot").Why, "overshot 3 times, by ")
	assert.Equal(t, 0.0, item(t, r, "no overshoot").Got)
}

// A reading after two seconds of an electrode of 28 s is none to add on.
func TestHastyPerson(t *testing.T) {
	p := sit(t, "slow-electrode", 83, practice.Off)
	for range 6 {
		p.wait(4)
		p.drip("NaOH 1 M", 6)
	}
	p.wait(200)
	r := p.end()
	i := item(t, r, "waited for settling")
	assert.Less(t, i.Got, 5.0, i.Why)
	assert.Contains(t, i.Why, "still on its way")
}

// Doing nothing earns nothing.
func TestIdlePerson(t *testing.T) {
	p := sit(t, "first-buffer", 11, practice.Full)
	p.wait(30)
	r := p.end()
	assert.Equal(t, 0.0, r.Points, "%+v", r.Items)
}

// Acid and base against each other is counted: 10 drops of 0.1 M, 0.05 mL each,
// are 0.05 mmol.
func TestSaltIsCounted(t *testing.T) {
	p := sit(t, "which-way", 23, practice.Off)
	p.wait(40)
	p.drip("HCl 0.1 M", 10)
	p.wait(40)
	p.drip("NaOH 0.1 M", 10)
	p.wait(40)
	p.obey()
	r := p.end()
	require.True(t, r.In)
	i := item(t, r, "little salt, room left")
	assert.Contains(t, i.Why, "0.05 mmol")
	assert.Less(t, item(t, r, "the right bottle").Got, 30.0, "one of them led away")
}

// A wrong name costs a quarter of what there is; nothing that was touched and named
// by what shows it is worth nearly all.
func TestNamingTheFault(t *testing.T) {
	p := sit(t, "tidal-samples", 107, practice.Off)
	p.wait(30)
	p.name("cap", 20, false)
	p.wait(5)
	p.name("wrong_salt", 25, false)
	r := p.end()
	assert.InDelta(t, 0.75*70, item(t, r, "what was wrong").Got, 1e-9)
	assert.Equal(t, 30.0, item(t, r, "looked before adding").Got)
	assert.Contains(t, item(t, r, "what was wrong").Why, "beside what a sound bench would show")

	p = sit(t, "tidal-samples", 107, practice.Off)
	p.wait(30)
	p.drip("HCl 1 M", 40)
	p.wait(30)
	r = p.end()
	assert.Equal(t, 0.0, item(t, r, "what was wrong").Got)
	assert.Contains(t, r.Moment.Words, "the first reading is far from where it should be")
}

// A fault that is named rightly is put right, and the run can be finished.
func TestNamedFaultIsMended(t *testing.T) {
	p := sit(t, "reef-hut", 103, practice.Off)
	p.wait(30)
	p.drip("HCl 1 M", 5)
	p.wait(25)
	p.name("cracked", p.now-5, false)
	p.obey()
	truly := p.bench.MadeUp()
	r := p.end()
	assert.InDelta(t, truly, r.Final, 1e-9, "the mended bench is made again")
	assert.True(t, r.In)
	assert.Equal(t, 65.0, item(t, r, "what was wrong").Got)
	assert.GreaterOrEqual(t, r.Points, 95.0)
}

// What was withdrawn and corrected at the bench is so in the score.
func TestCorrectionsAreDoneAgain(t *testing.T) {
	p := sit(t, "no-coach", 109, practice.Off)
	p.wait(30)
	p.drip("NaOH 1 M", 12)
	p.wait(30)
	p.correct(10)
	p.wait(30)
	p.drip("NaOH 1 M", 3)
	p.wait(20)
	p.undo()
	p.wait(30)
	truly := p.bench.MadeUp()
	r := p.end()
	assert.InDelta(t, truly, r.Final, 1e-9)
	assert.Equal(t, 1, r.Additions)
}

func TestOtherJournalsAreNoPractice(t *testing.T) {
	p := sit(t, "first-buffer", 11, practice.Full)
	p.wait(5)
	p.diary.Events[0].Start.Practice = nil
	r, err := replaytest.Of(p.diary.Events)
	require.NoError(t, err)
	_, err = score.Judge(r)
	assert.ErrorIs(t, err, practice.ErrNoPractice)
}

// Who gave more than the coach had ordered on the screen is told to give that, and not to
// halve what an answer leaves that there was none of.
func TestWhatWouldHaveSavedAFirstStepTooLarge(t *testing.T) {
	p := sit(t, "first-buffer", 11, practice.Full)
	p.wait(120)
	p.drip("NaOH 1 M", 80)
	p.wait(60)
	r := p.end()
	require.NotZero(t, r.Over)
	assert.Contains(t, r.Moment.Words, "What would have saved it: giving what was ordered: ")
	assert.Contains(t, r.Moment.Words, "drops of NaOH 1 M.")
	assert.Equal(t, 1, len(r.Compare))

	p = sit(t, "no-coach", 109, practice.Off)
	p.wait(80)
	p.drip("NaOH 1 M", 120)
	p.wait(60)
	r = p.end()
	assert.Contains(t, r.Moment.Words, "What would have saved it: a small first step")
}
