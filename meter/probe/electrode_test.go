package probe

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"
)

// glass is an electrode written apart from the package: two lags behind a
// mixing, stepped in tenths of a second.
type glass struct {
	r                             *rand.Rand
	fast, share, late, mix, noise float64
	digits                        int
	pool, near, f, l              float64
	t                             float64
}

type kind struct {
	name              string
	fast, share, late [2]float64
	noise             [2]float64
	digits            int
}

var kinds = []kind{
	{"lab", [2]float64{0.7, 3.5}, [2]float64{.005, .04}, [2]float64{40, 150}, [2]float64{.001, .002}, 3},
	{"ordinary", [2]float64{3, 12}, [2]float64{0, .03}, [2]float64{40, 120}, [2]float64{.002, .006}, 2},
	{"student", [2]float64{2, 6}, [2]float64{.005, .03}, [2]float64{50, 120}, [2]float64{.02, .03}, 3},
	{"old", [2]float64{8, 25}, [2]float64{.03, .10}, [2]float64{60, 300}, [2]float64{.003, .008}, 2},
}

func between(r *rand.Rand, s [2]float64) float64 { return s[0] + (s[1]-s[0])*r.Float64() }

func newGlass(k kind, seed uint64, from, pool float64) *glass {
	r := rand.New(rand.NewPCG(seed, 77))
	return &glass{r: r, fast: between(r, k.fast), share: between(r, k.share), late: between(r, k.late),
		mix: mixOf(r), noise: between(r, k.noise), digits: k.digits, pool: pool, near: pool, f: from, l: from}
}

func (g *glass) to(t float64) {
	for g.t < t-1e-9 {
		const h = 0.1
		g.near += (g.pool - g.near) * -math.Expm1(-h/g.mix)
		g.f += (g.near - g.f) * -math.Expm1(-h/g.fast)
		g.l += (g.near - g.l) * -math.Expm1(-h/g.late)
		g.t += h
	}
}

func (g *glass) read() float64 {
	p := math.Pow10(g.digits)
	return math.Round(((1-g.share)*g.f+g.share*g.l+g.noise*g.r.NormFloat64())*p) / p
}

// TestCalibrated is an experiment.
func TestCalibrated(t *testing.T) {
	if os.Getenv("EXP") == "" {
		t.Skip()
	}
	looks := []float64{4, 8, 15, 30, 60, 120}
	for _, kd := range kinds {
		var z2 [6]float64
		var sds, errs [6][]float64
		cnt := 0
		moves := 0
		for seed := uint64(1); seed <= 60; seed++ {
			g := newGlass(kd, seed, 7, 3+6*rand.New(rand.NewPCG(seed, 5)).Float64())
			k := Track(Unknown()).Resolve(math.Pow10(-kd.digits))
			clock := 0.0
			for step := 0; step < 5; step++ {
				since := clock
				cnt++
				last := looks[g.r.IntN(4)+2]
				for i, l := range looks {
					for clock < since+l {
						clock++
						g.to(clock)
						k = k.Push(clock, g.read())
					}
					e := k.Estimate(clock)
					z := math.Abs(e.End-g.pool) / e.SD
					if z <= 2 {
						z2[i]++
					}
					if os.Getenv("EXP") == "2" && z > 3.5 {
						fmt.Printf("%s seed %d step %d t %.0f end %.4f true %.4f sd %.4f tau %.1f/%.1f late %.3f/%.3f %.0f noise %.4f/%.4f %s\n", kd.name, seed, step, clock-since, e.End, g.pool, e.SD, e.Tau, g.fast, e.Late, g.share, g.late, e.Noise, g.noise, e.State)
					}
					sds[i] = append(sds[i], e.SD)
					errs[i] = append(errs[i], math.Abs(e.End-g.pool))
					if l >= last {
						for j := i + 1; j < len(looks); j++ {
							z2[j] += .95
						}
						break
					}
				}
				moves += len(k.Moves())
				d := []float64{1.5, 0.7, 0.3, 0.1, 0.05}[step] * (0.7 + 0.6*g.r.Float64())
				drops := 3 + g.r.IntN(40)
				for i := 0; i < drops; i++ {
					g.pool += d / float64(drops)
					if i%2 == 1 {
						clock++
						g.to(clock)
						k = k.Push(clock, g.read())
					}
				}
				for i := 0; i < int(1+8*g.r.Float64()); i++ {
					clock++
					g.to(clock)
					k = k.Push(clock, g.read())
				}
				k, _ = k.Give(Addition{Seq: int64(step + 1), T: clock, From: math.NaN(), Step: d, SD: 0.1 * d})
			}
		}
		fmt.Printf("%-9s moves %d nodes %d\n", kd.name, moves, cells)
		for i, l := range looks {
			fmt.Printf("   %4.0f s  within 2: %.3f  sd median %.4f 90%% %.4f  err median %.4f 95%% %.4f\n", l, z2[i]/float64(cnt), q(sds[i], .5), q(sds[i], .9), q(errs[i], .5), q(errs[i], .95))
		}
	}
}
