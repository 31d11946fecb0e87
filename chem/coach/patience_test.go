package coach_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// TestPatienceGoesWithTheWay: a reading is waited for while its spread counts beside the way
// that is left: 3.5 % of it or so near the aim, half of that far from it, where it is given on after
// less than a minute; and very near the aim it is not the coach who says so.
func TestPatienceGoesWithTheWay(t *testing.T) {
	const aim, tolerance = 8.0, 0.02
	for _, c := range []struct {
		what         string
		way, sd, age float64
		typed, waits bool
	}{
		{"3 % of a way of 0.3", 0.30, 0.0089 * 0.97, 30, false, false},
		{"4 % of it", 0.30, 0.0125, 30, false, true},
		{"1.25 % of a whole pH", 1.0, 0.0125, 30, false, false},
		{"1.8 % of it", 1.0, 0.018, 30, false, true},
		{"and after more than a minute no more", 1.0, 0.018, 60, false, false},
		{"17 tolerances away a long wait pays", 0.34, 0.02, 100, false, true},
		{"24 away it does not", 0.47, 0.02, 100, false, false},
		{"typed, 1.7 % of a whole pH", 1.0, 0.0168, 60, true, false},
		{"typed, 2.4 % of it", 1.0, 0.0235, 60, true, true},
		{"2.5 tolerances away the aim itself matters", 2.5 * tolerance, 0.03, 30, false, false},
		{"3.55 away it is no more than a wait", 3.55 * tolerance, 0.03, 30, false, true},
	} {
		p := coach.Present{PH: aim - c.way, Shown: aim - c.way, SD: c.sd, FinalSD: c.sd / 2, Age: c.age, Typed: c.typed}
		assert.Equal(t, c.waits, p.Unripe(coach.Advice{Aim: aim, Tolerance: tolerance}), c.what)
	}
	for tau, waits := range map[float64]bool{0: false, 9: false, 13: false, 16: true, 30: true} { // a viscous beaker, after 70 s
		p := coach.Present{PH: 7, Shown: 7, SD: 0.018, FinalSD: 0.009, Age: 70, Tau: tau}
		assert.Equal(t, waits, p.Unripe(coach.Advice{Aim: aim, Tolerance: tolerance}), "%g s", tau)
	}
}

// TestTypedValuesThatAreAsGoodAsTheyGet: of values that somebody types, another is asked for
// where it would change the dose; not of one that is within a tenth of as good as it gets, once a
// minute has gone by or nearly.
func TestTypedValuesThatAreAsGoodAsTheyGet(t *testing.T) {
	for _, c := range []struct {
		times, age float64 // the spread, times what it can be; s
		do         coach.Action
	}{
		{1.08, 54, coach.Add}, {1.08, 38, coach.Wait}, {1.25, 54, coach.Wait}, {1.25, 200, coach.Wait},
	} {
		b, shown := coachtest.Fine(0.1, 1e-6)
		a := b.Advise(coach.Request{Now: coach.Present{PH: shown, Shown: shown, SD: 0.012 * c.times, FinalSD: 0.012, Age: c.age, Settled: true, Typed: true}})
		assert.Equal(t, c.do, a.Do, "%+v: %v", c, a.Reason)
	}
}
