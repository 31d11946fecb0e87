package belief_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/belief"
	"example.org/halfdrop/chem/coach/coachtest"
)

// normal is the density of a normal distribution with mean 0.
func normal(x, sd float64) float64 {
	return math.Exp(-x*x/(2*sd*sd)) / (sd * math.Sqrt(2*math.Pi))
}

// oddsWithin is how far odds may be from their worked numbers: no decision is that fine.
const oddsWithin = 0.19

// expected is the density of the first reading as planned: 94 of a hundred scales
// are off by 0.032 pH, six by seven times that.
func expected(off, sd float64) float64 {
	return 0.94*normal(off, math.Hypot(0.032, sd)) + 0.06*normal(off, math.Hypot(7*0.032, sd))
}

// TestFirstReadingAsPlannedSpeaksAgainstTheRest: Bayes' theorem by hand. A reading where the plan has it
// makes an electrode that may stand anywhere within 14 pH less likely by 1/14 over 11 per pH,
// and so the account without a name, within 10.
func TestFirstReadingAsPlannedSpeaksAgainstTheRest(t *testing.T) {
	b, shown := coachtest.Plain(0.4, 0.5)
	b.Mistakes = []coach.Mistake{{Name: "a dead electrode", Code: "electrode", Prior: 0.04, Deaf: true}}
	const sd = 0.005
	bel := b.Believe(coach.History{Observations: []coach.Observation{{PH: shown, SD: sd}}})
	planned := bel.Weight("")
	assert.InEpsilon(t, 0.04/0.96/14/expected(0, sd), bel.Weight("electrode")/planned, oddsWithin)
	assert.InEpsilon(t, 0.006/0.96/10/expected(0, sd), bel.Free.Weight/planned, oddsWithin)
}

// TestWhoHasBegunMayHaveGivenAnything: half of the buffer or so, either way (a choice of this project):
// the first reading is expected within 0.5·C/β of the plan, 0.90 pH at x = 0.4, and by as much less
// likely to be where the plan has it.
func TestWhoHasBegunMayHaveGivenAnything(t *testing.T) {
	b, shown := coachtest.Plain(0.4, 0.5)
	b.Buffer = coachtest.Mol
	b.Mistakes = []coach.Mistake{{Name: "a dead electrode", Code: "electrode", Prior: 0.04, Deaf: true}}
	bel := b.Believe(coach.History{Begun: true, Observations: []coach.Observation{{PH: shown, SD: 0.005}}})
	want := 0.04 / 0.96 / 14 / normal(0, 0.5*coachtest.Mol/coachtest.Capacity(0.4))
	assert.InEpsilon(t, want, bel.Weight("electrode")/bel.Weight(""), oddsWithin)
}

// TestReadingOffThePlanMayBeTheScale: 0.05 pH off where careful hands know the start to 0.032, the
// scale may be a bad one, of which 6 in 100 are, with seven times the spread.
func TestReadingOffThePlanMayBeTheScale(t *testing.T) {
	b, shown := coachtest.Plain(0.4, 0.5)
	const sd, off = 0.005, 0.05
	bel := b.Believe(coach.History{Observations: []coach.Observation{{PH: shown + off, SD: sd}}})
	bad := 0.06 * normal(off, math.Hypot(7*0.032, sd))
	assert.InEpsilon(t, bad/(expected(off, sd)-bad), bel.BadScale()/(bel.Weight("")-bel.BadScale()), oddsWithin)
}

// still is the belief after a first drop that by the plan does d pH, and did m.
func still(t *testing.T, d, m, sd float64, mistakes ...coach.Mistake) belief.Belief {
	t.Helper()
	b, shown := coachtest.Plain(0.45, 0.55)
	b.Buffer = coachtest.Mol
	b.Mistakes = mistakes
	b.Stocks[0] = coachtest.Stock("base", d*coachtest.Capacity(0.46))
	return b.Believe(coach.History{
		Additions:    []coach.Addition{coachtest.Dose(1)},
		Observations: []coach.Observation{{PH: shown, SD: sd}, {After: 1, PH: shown + m, SD: sd}},
	})
}

// TestMishapsThatCannotShow: a drop that moves the reading by far less than it is known leaves
// it as likely as before that it missed, three in a thousand. That something else was given
// would show, since it may be anything up to a fifth of the buffer or so: it has lost by as much as the
// reading agrees, the density of no movement over that of any (Bayes).
func TestMishapsThatCannotShow(t *testing.T) {
	const sd = 0.01
	bel := still(t, 0.0005, 0.0005, sd)
	assert.InEpsilon(t, 0.003/(1-2*0.003), bel.Weight("missed:1")/bel.Weight(""), oddsWithin)
	moves := 0.2 * coachtest.Mol / coachtest.Capacity(0.45) // 2 mmol over 5.7 mmol per pH: 0.35 pH
	apart := sd * math.Sqrt2
	assert.InEpsilon(t, 0.003/(1-2*0.003)*apart/math.Hypot(apart, moves), bel.Weight("unlogged:1")/bel.Weight(""), oddsWithin)
}

// TestDeadElectrodeStandsStill: how far a reading may move and still be that of an electrode
// that does not follow the beaker: its readings scatter by 0.015, so that 0.03 speaks against
// it by exp(−0.03²/2(0.015²+sd²)), a seventh, and 0.1 rules it out. The plan has 0.3 there and is out in
// any case; something that was given off the record would explain either.
func TestDeadElectrodeStandsStill(t *testing.T) {
	const sd, moves = 0.003, 0.35
	dead := coach.Mistake{Name: "a dead electrode", Code: "electrode", Prior: 0.1, Deaf: true}
	odds := func(m float64) float64 {
		bel := still(t, 0.3, m, sd, dead)
		return bel.Weight("electrode") / bel.Weight("unlogged:1")
	}
	want := func(m float64) float64 { return normal(m, math.Hypot(0.015, sd)) / normal(m-0.3, moves) }
	assert.InDelta(t, math.Log(want(0.03)/want(0)), math.Log(odds(0.03)/odds(0)), 0.8)
	require.Greater(t, odds(0), 3.0)
	require.Less(t, odds(0.1), 1e-3)
}

// TestWhoLookedIsBelieved: a mistake that was looked for and not found keeps one part in fifty of
// its odds, the other accounts theirs.
func TestWhoLookedIsBelieved(t *testing.T) {
	b, shown := coachtest.Plain(0.4, 0.5)
	double := b.Stocks[0].PerLitre
	double.Charge *= 2
	b.Mistakes = []coach.Mistake{{Name: "twice as strong", Code: "stock", Prior: 0.1, Stock: 1, PerLitre: &double}}
	b.Stocks[0].StrengthSD = 0.2
	h := coach.History{
		Additions:    []coach.Addition{coachtest.Dose(10)},
		Observations: []coach.Observation{{PH: shown, SD: 0.005}, {After: 1, PH: shown + coachtest.Way(0.4, 0.475), SD: 0.005}},
	}
	before := b.Believe(h)
	h.Looked = []string{"stock"}
	after := b.Believe(h)
	require.Greater(t, before.Weight("stock"), 0.1, "it is no idle question")
	assert.InEpsilon(t, 0.02*0.9/0.998, (after.Weight("stock")/after.Weight(""))/(before.Weight("stock")/before.Weight("")), oddsWithin)
	h.Looked = []string{"stock", "stock"}
	twice := b.Believe(h)
	assert.Zero(t, twice.Weight("stock"))
}

// TestTheChemistryIsInDoubt: a reading 0.2 off speaks for a bad scale where the start is known to
// 0.03, and for nothing where the chemistry of a strong buffer is off by as much as 0.17.
func TestTheChemistryIsInDoubt(t *testing.T) {
	b, shown := coachtest.Plain(0.4, 0.5)
	b.DoubtPH = 0.17
	const sd, off = 0.005, 0.2
	bel := b.Believe(coach.History{Observations: []coach.Observation{{PH: shown + off, SD: sd}}})
	good := 0.94 * normal(off, math.Hypot(math.Hypot(0.032, 0.17), sd))
	bad := 0.06 * normal(off, math.Hypot(math.Hypot(7*0.032, 0.17), sd))
	assert.InEpsilon(t, bad/good, bel.BadScale()/(bel.Weight("")-bel.BadScale()), oddsWithin)
}
