package coach_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
)

// Rough systems for a driven bench; constants at 25 °C as in the table.
var systems = []*chem.System{
	{Name: "phosphate", Steps: []chem.Step{{PK: 2.148, DH: -8, DCp: -141}, {PK: 7.198, DH: 3.6, DCp: -230}, {PK: 12.35, DH: 16, DCp: -242}}},
	{Name: "Tris", Charge: 1, Steps: []chem.Step{{PK: 8.072, DH: 47.45, DCp: -59}}},
	{Name: "acetate", Steps: []chem.Step{{PK: 4.756, DH: -0.41, DCp: -142}}},
	{Name: "HEPES", Charge: 1, Steps: []chem.Step{{PK: 3}, {PK: 7.564, DH: 20.4, DCp: 47}}},
	{Name: "citrate", Steps: []chem.Step{{PK: 3.128, DH: 4.07, DCp: -131}, {PK: 4.761, DH: 2.23, DCp: -178}, {PK: 6.396, DH: -3.38, DCp: -254}}},
	{Name: "MES", Charge: 0, Steps: []chem.Step{{PK: 6.27, DH: 14.8, DCp: 5}}},
	{Name: "borate", Charge: 0, Steps: []chem.Step{{PK: 9.237, DH: 13.8, DCp: -240}}},
	{Name: "imidazole", Charge: 1, Steps: []chem.Step{{PK: 6.993, DH: 36.64, DCp: -9}}},
	{Name: "CHES", Charge: 0, Steps: []chem.Step{{PK: 9.394, DH: 39.55, DCp: 9}}},
	{Name: "succinate", Steps: []chem.Step{{PK: 4.207, DH: 3, DCp: -121}, {PK: 5.636, DH: -0.5, DCp: -217}}},
}

type outcome struct {
	in, over, named bool
	adds            int
}

// drive runs one bench with settled readings.
func drive(r *rand.Rand, t *testing.T, verbose bool, mist float64) outcome {
	sys := systems[r.IntN(len(systems))]
	step := r.IntN(len(sys.Steps))
	for sys.Steps[step].PK < 3.4 || sys.Steps[step].PK > 10.5 {
		step = r.IntN(len(sys.Steps))
	}
	conc := math.Exp(math.Log(0.005) + r.Float64()*math.Log(100))
	vol := 0.05 + 0.95*r.Float64()
	mol := conc * vol
	up := r.IntN(2) == 0
	frac := 0.25 + 0.5*r.Float64()
	// start one full step away
	start := float64(sys.Charge - step)
	if !up {
		start--
	}
	w := chem.Composition{Totals: [chem.MaxSystems]float64{mol}, Charge: -start * mol, Strength: math.Abs(start) * mol}
	need := frac * mol // mol of titrant
	drops := 15 + 185*r.Float64()
	str := need / (drops * 50e-6)
	z := 1.0
	if !up {
		z = -1
	}
	st := func(name string, c, z float64) coach.Stock {
		return coach.Stock{Name: name, PerLitre: chem.Composition{Water: 1, Charge: z * c, Strength: c}, Drop: 50 * chem.Microlitre, DropSD: 0.10, StrengthSD: 0.04}
	}
	tr := []*chem.System{sys}
	m, _ := chem.NewModel(25, tr)
	b := &coach.Bench{Model: m, Use: m, Weighed: w, Water: chem.Composition{Water: vol * 0.8}, Buffer: mol,
		Start: chem.Volume(vol * 0.8), Final: chem.Volume(vol), FinalKg: vol, Tolerance: 0.02,
		Stocks: []coach.Stock{st("strong", str, z), st("weak", str/10, z), st("back", str/10, -z)}}
	// target
	c := b.Water.Plus(1, w).Plus(drops*50e-6, b.Stocks[0].PerLitre)
	c.Water = vol
	e, err := m.Solve(&c)
	if err != nil || e.PH < 3 || e.PH > 11 {
		return drive(r, t, verbose, mist)
	}
	b.Target = math.Round(e.PH*100) / 100
	// truth
	n := r.NormFloat64
	tsys := *sys
	tsys.Steps = append([]chem.Step(nil), sys.Steps...)
	for i := range tsys.Steps {
		tsys.Steps[i].PK += 0.03 * n()
	}
	tm, _ := chem.NewModel(25, []*chem.System{&tsys})
	drop := math.Exp(0.10 * n())
	stren := []float64{math.Exp(0.04 * n()), math.Exp(0.04 * n()), math.Exp(0.04 * n())}
	if mist > 1 {
		stren[0] *= mist
	}
	beaker := chem.Composition{Water: vol * 0.8 * (1 + 0.02*n())}.Plus(math.Exp(0.015*n()), w)
	beaker.Charge += 0.01 * mol * n()
	off, slope := 0.02*n(), 0.01*n()
	noise := 0.003
	hist := coach.History{}
	var out outcome
	var conf []string
	for k := range 40 {
		e, err := tm.Solve(&beaker)
		if err != nil {
			t.Fatal(err)
		}
		y := e.PH + off + slope*(e.PH-7) + noise*n()
		y = math.Round(y*100) / 100
		req := coach.Request{History: hist, Now: coach.Present{PH: y, SD: 0.005, FinalSD: 0.005, Settled: true}, Confirmed: conf}
		a := b.Advise(req)
		if verbose {
			fmt.Printf("  %d %s %.2f-> target %.2f: y=%.2f aim=%.3f %v %v %v x %.0f after %.3f [%.3f %.3f] chance %.4f onedrop %.3f\n", k, sys.Name, conc, b.Target, y, a.Aim, a.Do, a.Reason, a.Stock, a.Drops, a.After, a.Low, a.High, a.Chance, a.OneDrop)
		}
		d := 1.0
		if b.Target < 0 {
			d = -1
		}
		_ = d
		if a.Do == coach.Check && a.Reason == coach.Mistaken {
			conf = append(conf, a.Codes()...)
			out.named = true
			continue
		}
		if z*(y-(a.Aim+z*0.02)) > 0.005 {
			out.over = true
		}
		if a.Do == coach.Stop || a.Do != coach.Add {
			fin := beaker
			fin.Water = math.Max(fin.Water, vol)
			e, _ := tm.Solve(&fin)
			yf := e.PH + off + slope*(e.PH-7)
			out.in = a.Do == coach.Stop && math.Abs(yf-b.Target) <= 0.025
			if verbose && !out.in {
				fmt.Println("  END", a.Do, a.Reason, yf, b.Target)
			}
			out.adds = len(hist.Additions)
			return out
		}
		hist.Observations = append(hist.Observations, coach.Observation{After: len(hist.Additions), PH: y, SD: 0.005})
		hist.Additions = append(hist.Additions, coach.Addition{Stock: a.Stock, Volume: a.Volume, Drops: a.Drops})
		v := a.Volume.Litres() * drop * (1 + 0.05/math.Sqrt(a.Drops)*n())
		add := b.Stocks[a.Stock].PerLitre
		add.Charge *= stren[a.Stock]
		beaker = beaker.Plus(v, add)
	}
	out.adds = len(hist.Additions)
	return out
}

func TestHarness(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	var in, over, adds, worst int
	const N = 1000
	for i := range N {
		o := drive(r, t, i < 6, 1)
		if o.in {
			in++
		}
		if o.over {
			over++
		}
		adds += o.adds
		worst = max(worst, o.adds)
	}
	fmt.Printf("in %d over %d adds %.2f worst %d of %d\n", in, over, float64(adds)/N, worst, N)
}

func BenchmarkAdvise(b *testing.B) {
}
