package find_test

import (
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
)

// fixed is a run in equal steps, mL, until the spread is that of another run and the
// point is passed; the estimate is the same. It is asked for at every reading that lies
// beyond the first proton of what is there: before, no run could end.
func (w *bench) fixed(ml, rel float64) (o outcome) {
	first := w.b.Parts[0].Moles * w.tr.part / (w.b.Stocks[0].Molar * w.tr.strength)
	for {
		now := w.read()
		w.obs = append(w.obs, coach.Observation{After: len(w.adds), PH: now.PH, SD: now.SD})
		if w.count > first {
			bel, err := w.b.Believe(coach.History{Additions: w.adds, Observations: w.obs})
			if err == nil {
				if f := bel.Found(); f.Passed && f.Relative() <= rel {
					w.score(&o, &find.Plan{Belief: bel, Found: f})
					return o
				}
			}
		}
		if w.count+ml/1e3 > min(farthest*first, (w.b.Vessel-w.b.Start).Litres()) {
			return o
		}
		w.add(ml / 1e3 / w.b.Stocks[0].Step.Litres())
	}
}

// farthest is up to how many times the volume of the first proton equal steps go on.
const farthest = 2.6

// The same benches by the advice and in equal steps, until the same spread is reached.
// HALFDROP_FIXED=10 go test ./chem/find -run Equal -v -timeout 60m plays ten of each kind.
func TestEqualStepsTakeMore(t *testing.T) {
	n, _ := strconv.Atoi(os.Getenv("HALFDROP_FIXED"))
	if n == 0 {
		t.Skip("NOT RUN: the comparison with equal steps of 1, 0.5 and 0.1 mL, which takes minutes; set HALFDROP_FIXED to the number of benches of a kind")
	}
	for _, g := range games() {
		if g.drops {
			continue
		}
		t.Run(g.name, func(t *testing.T) {
			for _, ml := range []float64{1, 0.5, 0.1} {
				there, reads, seconds, its, itsSeconds := 0, 0, 0.0, 0, 0.0
				for i := range n {
					seed := uint64(i + 1)
					o := g.draw(t, seed).coached()
					f := g.draw(t, seed).fixed(ml, o.rel*1.0001)
					if f.reads == 0 {
						continue
					}
					there++
					reads, seconds, its, itsSeconds = reads+f.reads, seconds+f.seconds, its+o.reads, itsSeconds+o.seconds
				}
				if there == 0 {
					t.Logf("%s, steps of %g mL: none of %d came to the same spread", g.name, ml, n)
					continue
				}
				k := float64(there)
				t.Logf("%s, steps of %g mL: %.1f readings and %.0f s, by advice %.1f and %.0f s (%d of %d came to the same spread)", g.name, ml, float64(reads)/k, seconds/k, float64(its)/k, itsSeconds/k, there, n)
				assert.GreaterOrEqual(t, float64(reads), 2*float64(its), "%s, %g mL: half of the readings are wanted", g.name, ml)
			}
		})
	}
}
