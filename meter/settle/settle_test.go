package settle_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
	"testing"

	"example.org/halfdrop/meter/settle"
)

// approach drives one approach through mixing and electrode.
type approach struct{ from, to, tau, mix, noise, res float64 }

func (a approach) at(t float64) float64 {
	if t < 0 {
		return a.from
	}
	g := (a.tau*math.Exp(-t/a.tau) - a.mix*math.Exp(-t/a.mix)) / (a.tau - a.mix)
	return a.to + (a.from-a.to)*g
}

func TestEndValue(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for _, tier := range []struct{ lo, hi, noise float64 }{{3, 10, 0.005}, {8, 28, 0.01}, {3, 40, 0.02}} {
		var errs, zs, ages []float64
		for range 300 {
			l := settle.Fresh()
			tau := tier.lo + (tier.hi-tier.lo)*r.Float64()
			for seg := range 3 {
				size := []float64{1.5, 0.4, 0.05}[seg]
				a := approach{from: 5, to: 5 + size, tau: tau, mix: 1 + 2*r.Float64(), noise: tier.noise, res: 0.01}
				w := settle.Window{Since: 0, From: a.from, Expected: a.to + 0.1*size*r.NormFloat64(), Resolution: a.res}
				for s := 1.0; s < 300; s++ {
					y := a.at(s) + a.noise*r.NormFloat64()
					w = w.Push(s, math.Round(y/a.res)*a.res)
					e := l.Estimate(w, s)
					if e.State == settle.Settled {
						errs = append(errs, math.Abs(e.End-a.to))
						zs = append(zs, math.Abs(e.End-a.to)/e.SD)
						ages = append(ages, s/tau)
						break
					}
				}
				l = l.Learn(w)
			}
		}
		sort.Float64s(errs)
		sort.Float64s(zs)
		sort.Float64s(ages)
		n := len(errs)
		in := sort.SearchFloat64s(errs, 0.01)
		fmt.Printf("tau %g-%g noise %g: n %d within 0.01: %.3f median err %.4f p99 %.4f  z p50 %.2f p95 %.2f p99 %.2f  t/tau p50 %.1f p95 %.1f\n", tier.lo, tier.hi, tier.noise, n,
			float64(in)/float64(n), errs[n/2], errs[n*99/100], zs[n/2], zs[n*95/100], zs[n*99/100], ages[n/2], ages[n*95/100])
	}
}

func BenchmarkEstimate(b *testing.B) {
	w := settle.Window{Resolution: 0.01}
	for s := range 60 {
		w = w.Push(float64(s), 7-math.Exp(-float64(s)/8))
	}
	l := settle.Fresh()
	b.ReportAllocs()
	for b.Loop() {
		l.Estimate(w, 60)
	}
}
