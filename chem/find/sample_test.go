package find_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// kit puts a bench together from the tables: what is in the beaker, in mmol, and
// the first titrant.
type kit struct {
	reagent string
	mmol    float64
	partSD  float64
	ml      float64
	titrant string
	molar   float64
	what    find.What
	pkSD    float64
	change  func(*find.Bench)
}

func (k kit) bench(t testing.TB) *find.Bench {
	t.Helper()
	r, err := table.ByAmount(k.reagent)
	require.NoError(t, err)
	x, err := table.ByAmount(k.titrant)
	require.NoError(t, err)
	return k.of(t, r.Dissolved(chem.Amount(k.mmol)*chem.Millimole), x.Dissolved(chem.Amount(k.molar)))
}

func (k kit) of(t testing.TB, content, litre chem.Solution) *find.Bench {
	t.Helper()
	carb, err := table.System("carbonate")
	require.NoError(t, err)
	all := chem.Mix(chem.Mix(content, litre), chem.Solution{Systems: []chem.SystemTotal{{System: carb, Amount: 0}}})
	var systems []*chem.System
	for _, s := range all.Systems {
		systems = append(systems, s.System)
	}
	m, err := chem.NewModel(25, systems)
	require.NoError(t, err)
	dry, err := m.Compose(content)
	require.NoError(t, err)
	dry.Water = 0
	per, err := m.Compose(chem.Mix(chem.Solution{Volume: chem.Litre, Temp: 25}, litre.At(25)))
	require.NoError(t, err)
	b := &find.Bench{Temp: 25, Systems: m.Systems(), Water: chem.Composition{Water: k.ml / 1e3 * 0.997},
		Parts:  []find.Part{{Name: k.reagent, Dry: dry, Moles: k.mmol / 1e3, SD: k.partSD}},
		Stocks: []find.Stock{{Name: k.titrant, PerLitre: per, Molar: k.molar, Step: 0.05e-3, By: find.Burette, SizeSD: 0.001, ReadSD: 0.015e-3, StrengthSD: 0.001}},
		What:   k.what, Goal: 0.002, GoalPK: 0.02, Start: chem.Volume(k.ml / 1e3), Vessel: chem.Volume(k.ml/1e3 + 0.1), ShiftSD: 0.03, SlopeSD: 0.01, BendSD: 0.008}
	if per.Charge > 0 {
		b.Stocks[0].Carbonate, b.Stocks[0].CarbonSD = 0.005, 0.005
	}
	for i, s := range m.Systems() {
		if dry.Totals[i] == 0 {
			continue
		}
		for j := range s.Steps {
			z := float64(s.Charge - j) // of the form that loses the proton
			if s.Steps[j].PK < 11 {
				b.BendSD = math.Max(b.BendSD, 0.01*((z-1)*(z-1)-z*z))
			}
			b.PKs = append(b.PKs, find.PK{System: i, Step: j, SD: math.Hypot(k.pkSD, 0.02*((z-1)*(z-1)-z*z))})
		}
	}
	if k.change != nil {
		k.change(b)
	}
	return b
}

// aBlank is a run without a sample on the bench that shares no code with the program: a
// little strong acid or base in 50 mL, and carbon dioxide of the air. It returns the error
// in claimed spreads, the spread in mL and the readings that it took.
func aBlank(t *testing.T, seed uint64) (z, sd float64, reads int) {
	t.Helper()
	b := kit{reagent: "HCl", mmol: 1e-6, ml: 50, titrant: "NaOH", molar: 0.1, what: find.Blank, change: func(b *find.Bench) {
		b.Parts, b.PKs, b.Goal = nil, nil, 0.01e-3
		b.Stocks[0].Step, b.Stocks[0].ReadSD = 0.02e-3, 0.005e-3
	}}.bench(t)
	r := rand.New(rand.NewPCG(seed, 78))
	const litres, molar = 0.05, 0.1
	excess := 0.1e-3 * molar * r.NormFloat64()                 // mol of base
	gas := litres * 1e-5 * math.Exp(0.5*r.NormFloat64())       // mol: what air brings, more or less
	shift, slope := 0.03*r.NormFloat64(), 0.01*r.NormFloat64() // of the meter, as the bench allows
	bend := drawWave(r, b.BendSD)
	truly := -(excess - gas) / molar // at the end point of most samples carbonic acid counts once
	given, zero := 0.0, 0.005e-3*r.NormFloat64()
	var h coach.History
	for range 12 {
		f := flask{acids: []acid{{[]float64{6.351, 10.329}, 0, gas + given*molar*0.005}}, strong: excess + given*molar, salt: math.Abs(excess) + given*molar, litres: litres + given}
		ph := f.ph()
		y := ph + shift + slope*(ph-7) + bend.at(ph) + readSD*r.NormFloat64()
		a, p := b.Consider(coach.Request{History: h, Now: coach.Present{PH: y, SD: readSD, FinalSD: readSD, Shown: y, Settled: true, Age: 60}})
		require.NotNil(t, p)
		if a.Do != coach.Add {
			require.Equal(t, coach.Stop, a.Do, "seed %d: %v after %d additions, at pH %.2f, excess %.1e, %.2e", seed, a.Reason, len(h.Additions), y, excess, p.Found.SD)
			return (p.Found.Value - truly) / p.Found.SD, 1e3 * p.Found.SD, len(h.Additions) + 1
		}
		h.Observations = append(h.Observations, coach.Observation{After: len(h.Additions), PH: y, SD: readSD})
		v := chem.Volume(a.Drops) * b.Stocks[0].Step
		h.Additions = append(h.Additions, coach.Addition{Volume: v})
		sum := 0.0
		for _, x := range h.Additions {
			sum += x.Volume.Litres()
		}
		given = math.Max(given, sum+zero+0.005e-3*r.NormFloat64())
	}
	t.Fatalf("seed %d: no end", seed)
	return
}

// A blank is found with its spread, also where there is none and where it is of the other
// sign.
func TestABlankIsFound(t *testing.T) {
	n := runs(60)
	in, reads, widest := 0, 0, 0.0
	for i := range n {
		z, sd, k := aBlank(t, uint64(i+1))
		if math.Abs(z) <= 2 {
			in++
		}
		reads, widest = reads+k, math.Max(widest, sd)
	}
	share := float64(in) / float64(n)
	t.Logf("blank: %.1f %% of %d within two spreads, %.1f readings, spread %.3f mL at most", 100*share, n, float64(reads)/float64(n), widest)
	assert.Greater(t, share, leastIn-byChance(leastIn, n))
	assert.Less(t, widest, 0.03)
	assert.Less(t, float64(reads)/float64(n), 5.0)
}
