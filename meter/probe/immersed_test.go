package probe

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"
)

func TestImmersed(t *testing.T) {
	if os.Getenv("EXP") == "" {
		t.Skip()
	}
	looks := []float64{4, 8, 15, 30, 60, 120, 240}
	for _, kd := range kinds {
		var z2 [7]float64
		var sds, errs, ns [7][]float64
		const runs = 200
		for seed := uint64(1); seed <= runs; seed++ {
			g := newGlass(kd, seed, 7, 3+6*rand.New(rand.NewPCG(seed, 5)).Float64())
			k := Track(Unknown()).Resolve(math.Pow10(-kd.digits))
			clock := 0.0
			for i, l := range looks {
				for clock < l {
					clock++
					g.to(clock)
					k = k.Push(clock, g.read())
				}
				e := k.Estimate(clock)
				z := math.Abs(e.End-g.pool) / e.SD
				if z <= 2 {
					z2[i]++
				} else if z > 4 && i > 2 && os.Getenv("EXP") == "2" {
					fmt.Printf("%s seed %d t %.0f end %.4f true %.4f sd %.4f tau %.1f/%.1f late %.3f/%.3f %.0f noise %.4f/%.4f %s\n", kd.name, seed, l, e.End, g.pool, e.SD, e.Tau, g.fast, e.Late, g.share, g.late, e.Noise, g.noise, e.State)
				}
				sds[i] = append(sds[i], e.SD)
				errs[i] = append(errs[i], math.Abs(e.End-g.pool))
				ns[i] = append(ns[i], float64(len(k.bank.nodes)))
			}
		}
		fmt.Printf("%-9s\n", kd.name)
		for i, l := range looks {
			fmt.Printf("   %4.0f s  within 2: %.3f  sd median %.4f 90%% %.4f  err median %.4f 95%% %.4f nodes %.0f\n", l, z2[i]/runs, q(sds[i], .5), q(sds[i], .9), q(errs[i], .5), q(errs[i], .95), mean(ns[i]))
		}
	}
}
