package belief_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// TestABeakerThatHasNothingOfItsPlan: from which capacity on, below the planned one, a beaker is
// thought to have nothing of its plan, so that as little is promised of it as of one that nobody weighed:
// where that is e^1.5 times as likely by the first step (before any reading it is as much less likely,
// a choice of this project). By hand: of ln of the capacity, the plan says 4.8 mmol per pH and is off by
// 0.87, a beaker of 0.1 L that nobody weighed has 1 mmol per pH within a factor of e^1.4.
func TestABeakerThatHasNothingOfItsPlan(t *testing.T) {
	const way, mid = 0.02, 0.010 * 0.1
	planned := coachtest.Capacity(0.3)
	like, strange := law{0.7, 0.5, 1.2}.before(way), law{1.1, 0.9, 1.3}.before(way)
	odds := func(less float64) float64 { // ln, for a beaker whose capacity is less than the plan's by so much (ln)
		return math.Log(normal(math.Log(planned/mid)-less, strange) / normal(less, like))
	}
	promised := func(less float64) float64 { // the spread of what leads two pH further
		b, shown := coachtest.Plain(0.3, 0.7)
		b.Buffer = coachtest.Mol
		b.Stocks[0] = coachtest.Stock("base", planned*math.Exp(-less)*way)
		bel := b.Believe(coach.History{
			Looked:       []string{"unlogged:1", "unlogged:1", "missed:1", "missed:1"},
			Additions:    []coach.Addition{coachtest.Dose(1)},
			Observations: []coach.Observation{{PH: shown, SD: 1e-5}, {After: 1, PH: shown + way, SD: 1e-5}},
		})
		_, sd := bel.Free.Ahead(chem.PH(shown+2), 0)
		return sd
	}
	assert.Less(t, promised(1), 0.4, "it is somehow like its plan")
	at := 1.0
	for at < 3 && promised(at) < 0.5 {
		at += 0.02
	}
	assert.InDelta(t, 1.5, odds(at), 0.3, "a capacity of %.2f mmol per pH", 1e3*planned*math.Exp(-at)) // 0.85
}
