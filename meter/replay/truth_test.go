package replay_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/replay/replaytest"
	"example.org/halfdrop/meter/run/runtest"
)

// shown is a run by what the display shows: it goes to a value in so many seconds and stays.
type shown struct {
	log runtest.Log
	t   float64
	ph  float64
}

func (d *shown) put(e journal.Event) {
	e.T, e.At = d.t, runtest.Wall(d.t)
	_ = d.log.Append(&e)
}

// to takes the display to a value in some seconds and leaves it there for so many.
func (d *shown) to(ph, seconds, stays float64) {
	from := d.ph
	for i := 1.0; i <= seconds+stays; i++ {
		d.t++
		d.ph = from + (ph-from)*math.Min(i/math.Max(seconds, 1), 1)
		y := math.Round(100*d.ph) / 100
		d.put(journal.Event{Kind: journal.Read, Reading: &journal.Reading{PH: &y, Decimals: 2}})
	}
}

// added is what was given while the display went there.
func (d *shown) added(titrant string, drops, to, seconds float64) {
	from := d.t
	d.to(to, seconds, 3)
	d.t++
	d.put(journal.Event{Kind: journal.Added, Added: &journal.Addition{Titrant: titrant, Drops: drops, ML: 0.05 * drops, From: &from}})
	d.to(to, 0, 90)
}

func (d *shown) review(t *testing.T) replay.Review {
	t.Helper()
	r, err := replaytest.Of(d.log.Events)
	require.NoError(t, err)
	return r.Review()
}

func begin(change func(*journal.Event)) *shown {
	d := &shown{ph: 10.4}
	first := runtest.First(runtest.Tris())
	if change != nil {
		change(&first)
	}
	_ = d.log.Append(&first)
	d.to(d.ph, 0, 60)
	return d
}

// Where the beaker stood is what it showed before the first drop, also when the drops took
// five minutes: 250 of them do.
func TestDropsThatTakeFiveMinutes(t *testing.T) {
	d := begin(nil)
	name := runtest.Tris().Titrants[0].Name
	d.added(name, 250, 9.6, 300)
	v := d.review(t)
	require.Len(t, v.Steps, 1)
	assert.InDelta(t, 10.4, v.Steps[0].Before.PH, 0.02)
	assert.InDelta(t, 9.6, v.Steps[0].After.PH, 0.02)
	assert.Empty(t, v.Spotted)
}

// A beaker without its buffer goes past with either bottle: then it is the buffer that is
// less, never something that was not logged, and no figure of the coach's way is made up.
func TestLessBufferIsNotSomethingUnlogged(t *testing.T) {
	d := begin(nil)
	d.added("acid", 24, 3.0, 8)
	d.added("base", 6, 10.9, 8)
	d.added("acid", 3, 3.1, 8)
	d.added("base", 3, 10.9, 8)
	d.added("acid", 3, 3.1, 8)
	v := d.review(t)
	require.NotEmpty(t, v.Over)
	for _, o := range v.Over {
		assert.Contains(t, o.Words, "there is less buffer in the beaker", o.Words)
		assert.NotContains(t, o.Words, "not logged")
		assert.NotContains(t, o.Words, "e+")
		assert.LessOrEqual(t, o.Needed, 12)
	}
}

// Of a beaker that nobody weighed nothing is reckoned: neither the coach's way nor its chance.
func TestNothingIsReckonedOfAnUnweighedBeaker(t *testing.T) {
	d := &shown{ph: 10.4}
	p := runtest.Tris()
	p.Weighed = nil
	first := runtest.First(p)
	_ = d.log.Append(&first)
	d.to(d.ph, 0, 60)
	d.added("acid", 40, 3.0, 30)
	v := d.review(t)
	require.Len(t, v.Over, 1)
	assert.NotContains(t, v.Over[0].Words, "the coach would")
	assert.NotContains(t, v.Over[0].Words, "small chance")
}

// What was never read to its end is filled in from the label, unless the display says
// otherwise: here base was given where the record says acid.
func TestWhatIsFilledInIsNotFarFromWhatWasShown(t *testing.T) {
	for _, c := range []struct{ first, second, drops, left float64 }{
		{11.3, 9.0, 60, 11.3},    // what is filled in is 9.3
		{11.0, 10.75, 5, 10.95},  // 10.6: more than 0.3 short of the display
		{10.9, 10.85, 5, 10.625}, // 0.27 short of it
	} {
		d := begin(nil)
		for i, to := range []float64{c.first, c.second} { // the first on its way still when the second falls
			from := d.t
			d.to(to, 10, 8*float64(1-i))
			d.put(journal.Event{Kind: journal.Added, Added: &journal.Addition{Titrant: "acid", Drops: c.drops, ML: 0.05 * c.drops, From: &from}})
			d.to(to, 0, 8+200*float64(i))
		}
		v := d.review(t)
		require.Len(t, v.Steps, 2)
		assert.InDelta(t, c.left, v.Steps[0].After.PH, 0.03, "%+v", v.Steps[0].After)
	}
}

// A plan that was amended after the addition is why it went past, not chance.
func TestAnAmendedPlanIsWhy(t *testing.T) {
	d := begin(nil)
	d.added("acid", 195, 8.3, 60)
	d.added("weak acid", 38, 7.9, 20)
	d.put(journal.Event{Kind: journal.Amended, Amend: &journal.Amendment{Code: "stock:weak acid:10", Name: "weak acid ten times as strong as labelled",
		Titrant: []byte(`{"name":"weak acid","reagent":"HCl","molar":2,"drop_ul":50}`)}})
	d.to(7.9, 0, 60)
	v := d.review(t)
	require.Len(t, v.Over, 1)
	assert.Equal(t, replay.Amended, v.Over[0].Cause, v.Over[0].Words)
	assert.Contains(t, v.Over[0].Words, "was amended after it: weak acid ten times as strong")
}
