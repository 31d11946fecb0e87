package coach_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"github.com/stretchr/testify/require"
)

// steps are buffering steps to titrate through: system, charge of its acid
// form and the constants at 25 °C (rounded from Goldberg, Kishore & Lennen
// 2002; the bench only has to be like a real one).
var steps = []*chem.System{
	{Name: "phosphate", Steps: []chem.Step{{PK: 2.15}, {PK: 7.20}, {PK: 12.35}}},
	{Name: "Tris", Charge: 1, Steps: []chem.Step{{PK: 8.07}}},
	{Name: "acetate", Steps: []chem.Step{{PK: 4.76}}},
	{Name: "HEPES", Charge: 1, Steps: []chem.Step{{PK: 3}, {PK: 7.56}}},
	{Name: "citrate", Steps: []chem.Step{{PK: 3.13}, {PK: 4.76}, {PK: 6.40}}},
	{Name: "MES", Steps: []chem.Step{{PK: 6.27}}},
	{Name: "borate", Steps: []chem.Step{{PK: 9.24}}},
	{Name: "imidazole", Charge: 1, Steps: []chem.Step{{PK: 6.99}}},
}

const drop = 50 * chem.Microlitre

// virtual is a bench with what the coach is told and what is true.
type virtual struct {
	bench    coach.Bench
	up       float64
	model    *chem.Model
	beaker   chem.Composition
	dropTrue float64
	strength []float64
	offset   float64
	r        *rand.Rand

	bold     int     // additions with more than the usual chance to pass
	boldest  float64 // the largest chance of them
	leastEnd float64 // the least chance of them to be the last, from 1 down
	first    float64 // the chance of the first addition to pass
}

func newVirtual(r *rand.Rand) *virtual {
	for {
		if v := tryVirtual(r); v != nil {
			return v
		}
	}
}

func tryVirtual(r *rand.Rand) *virtual {
	sys := steps[r.IntN(len(steps))]
	step := r.IntN(len(sys.Steps))
	vol := 0.05 + 0.9*r.Float64()
	mol := vol * math.Exp(math.Log(0.005)+r.Float64()*math.Log(100))
	v := &virtual{up: 1, r: r, offset: 0.02 * r.NormFloat64(), dropTrue: math.Exp(0.1 * r.NormFloat64())}
	charge := float64(sys.Charge - step)
	if r.IntN(2) == 0 {
		v.up, charge = -1, charge-1
	}
	weighed := chem.Composition{Totals: [chem.MaxSystems]float64{mol}, Charge: -charge * mol, Strength: math.Abs(charge) * mol}
	drops := 15 + 185*r.Float64()
	molar := (0.25 + 0.5*r.Float64()) * mol / (drops * drop.Litres())
	m, _ := chem.NewModel(25, []*chem.System{sys})
	v.bench = coach.Bench{
		Model: m, Use: m, Weighed: weighed, Water: chem.Composition{Water: vol * 0.8}, Buffer: mol,
		Start: chem.Volume(vol * 0.8), Final: chem.Volume(vol), FinalKg: vol, Tolerance: 0.02,
		Stocks: []coach.Stock{strong(molar, v.up), strong(molar/10, v.up), strong(molar/10, -v.up)},
	}
	c := v.bench.Water.Plus(1, weighed).Plus(drops*drop.Litres(), v.bench.Stocks[0].PerLitre)
	c.Water = vol
	e, err := m.Solve(&c)
	if err != nil || e.PH < 3 || e.PH > 11 {
		return nil
	}
	v.bench.Target = e.PH
	v.model, _ = chem.NewModel(25, []*chem.System{moved(sys, 0.03*r.NormFloat64())})
	v.beaker = v.bench.Water.Plus(math.Exp(0.015*r.NormFloat64()), weighed)
	v.beaker.Charge += 0.01 * mol * r.NormFloat64()
	for range v.bench.Stocks {
		v.strength = append(v.strength, math.Exp(0.04*r.NormFloat64()))
	}
	return v
}

func strong(molar, z float64) coach.Stock {
	return coach.Stock{
		PerLitre: chem.Composition{Water: 1, Charge: z * molar, Strength: molar}, Molarity: chem.Molarity(molar),
		Drop: drop, DropSD: 0.10, StrengthSD: 0.04,
	}
}

func moved(s *chem.System, d float64) *chem.System {
	c := *s
	c.Steps = nil
	for _, st := range s.Steps {
		st.PK += d
		c.Steps = append(c.Steps, st)
	}
	return &c
}

// reading is the settled reading of a meter with two decimals.
func (v *virtual) reading(t *testing.T) float64 {
	e, err := v.model.Solve(&v.beaker)
	require.NoError(t, err)
	return math.Round((e.PH+v.offset+0.003*v.r.NormFloat64())*100) / 100
}

func (v *virtual) add(a coach.Advice) {
	vol := a.Volume.Litres() * v.dropTrue * (1 + 0.05/math.Sqrt(a.Drops)*v.r.NormFloat64())
	solute := v.bench.Stocks[a.Stock].PerLitre
	solute.Charge *= v.strength[a.Stock]
	v.beaker = v.beaker.Plus(vol, solute)
}

// never checks what must hold of every advice.
func never(t *testing.T, v *virtual, a coach.Advice, y float64) {
	t.Helper()
	for _, x := range []float64{a.Aim, a.After, a.Low, a.High, a.Chance, a.OneDrop, a.Salt, a.Weight, a.Drops, float64(a.Volume)} {
		require.False(t, math.IsNaN(x) || math.IsInf(x, 0), "NaN or infinity in %+v", a)
	}
	if a.Do != coach.Add {
		return
	}
	limit := 0.015
	if v.ends(a) >= 0.3 {
		limit = 0.04 // it may well be the last
	}
	require.LessOrEqual(t, a.Chance, limit, "the chance of passing is within the limit")
	require.Equal(t, a.Drops, math.Floor(a.Drops), "whole drops")
	require.Positive(t, a.Drops)
	q := v.bench.Stocks[a.Stock].PerLitre.Charge
	require.Positive(t, q*(a.Aim-y), "the titrant moves towards the aim")
	require.LessOrEqual(t, (a.After-a.Aim)*math.Copysign(1, q), 3e-3, "the mean does not pass the aim")
	require.True(t, a.Low <= a.After && a.After <= a.High)
}

// ends is the chance that an advised addition leaves less than 0.65 of the
// tolerance to the aim, from its central 95 %.
func (v *virtual) ends(a coach.Advice) float64 {
	sd := (a.High - a.Low) / (2 * 1.96) * math.Sqrt2
	off, near := a.After-a.Aim, 0.65*v.bench.Tolerance
	return (math.Erf((near-off)/sd) - math.Erf((-near-off)/sd)) / 2
}

// titrate does what the coach says until it says something else than add.
func (v *virtual) titrate(t *testing.T) (h coach.History, last coach.Advice, y float64, passed bool) {
	v.leastEnd = 1
	for range 30 {
		y = v.reading(t)
		last = v.bench.Advise(coach.Request{History: h, Now: coach.Present{PH: y, SD: 0.005, FinalSD: 0.005, Shown: y, Settled: true, Age: 200}})
		never(t, v, last, y)
		if last.Do == coach.Add && last.Chance > 0.015 {
			v.bold++
			v.boldest = max(v.boldest, last.Chance)
			v.leastEnd = min(v.leastEnd, v.ends(last))
		}
		if len(h.Additions) == 0 {
			v.first = last.Chance
		}
		passed = passed || v.up*(y-last.Aim) > v.bench.Tolerance+0.005
		if last.Do != coach.Add {
			return h, last, y, passed
		}
		h.Observations = append(h.Observations, coach.Observation{After: len(h.Additions), PH: y, SD: 0.005})
		h.Additions = append(h.Additions, coach.Addition{Stock: last.Stock, Volume: last.Volume, Drops: last.Drops})
		v.add(last)
	}
	return h, last, y, passed
}

// TestSettledBenches: with settled readings handed to it, the coach is in
// tolerance nearly always, passes the aim nearly never, and needs few
// additions. A careful person with single drops needs fifty to two hundred.
func TestSettledBenches(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	const n = 400
	boldest, first, leastEnd := 0.0, 0.0, 1.0
	in, passed, adds, bold := 0, 0, 0, 0
	for range n {
		v := newVirtual(r)
		h, last, y, over := v.titrate(t)
		boldest, first, leastEnd = max(boldest, v.boldest), max(first, v.first), min(leastEnd, v.leastEnd)
		if last.Do == coach.Stop && math.Abs(y-last.Aim) <= v.bench.Tolerance+0.005 {
			in++
		}
		if over {
			passed++
		}
		adds += len(h.Additions)
		bold += v.bold
	}
	t.Logf("%d benches: %d in tolerance, %d passed the aim, %.2f additions, %d with more than the usual chance, the largest %.4f", n, in, passed, float64(adds)/n, bold, boldest)
	require.GreaterOrEqual(t, in, n*98/100)
	require.LessOrEqual(t, passed, n/100)
	require.LessOrEqual(t, float64(adds)/n, 2.95)
	require.Greater(t, bold, n/20, "the last addition takes its chance")
	require.Greater(t, boldest, 0.019)
	require.Less(t, leastEnd, 0.34, "from a chance of 0.3 on that it is the last")
	require.InDelta(t, 0.00137, first, 0.00005, "the first addition rests on labels")
}

// TestOrderOfEqualEvidence: two bottles of the same in another order give the
// same advice.
func TestOrderOfEqualEvidence(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 50 {
		v := newVirtual(r)
		now := coach.Present{PH: v.reading(t), SD: 0.005, FinalSD: 0.005, Settled: true}
		a := v.bench.Advise(coach.Request{Now: now})
		of := &v.bench
		w := coach.Bench{
			Model: of.Model, Use: of.Use, Weighed: of.Weighed, Water: of.Water, Buffer: of.Buffer, Start: of.Start, Final: of.Final, FinalKg: of.FinalKg,
			Target: of.Target, Tolerance: of.Tolerance, Stocks: []coach.Stock{of.Stocks[2], of.Stocks[1], of.Stocks[0]},
		}
		b := w.Advise(coach.Request{Now: now})
		require.Equal(t, a.Do, b.Do)
		require.Equal(t, a.Drops, b.Drops)
		require.Equal(t, 2-a.Stock, b.Stock)
	}
}

// TestAdviceStands: the advice given last is kept while it is as safe, so that
// the number on the screen does not follow each reading.
func TestAdviceStands(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 50 {
		v := newVirtual(r)
		y := v.reading(t)
		a := v.bench.Advise(coach.Request{Now: coach.Present{PH: y, SD: 0.005, FinalSD: 0.005, Shown: y, Settled: true, Age: 200}})
		if a.Do != coach.Add {
			continue
		}
		now := coach.Present{PH: y - 0.001*v.up, Shown: y, SD: 0.005, FinalSD: 0.005, Settled: true}
		require.True(t, v.bench.Stands(coach.Request{Now: now}, a.Stock, a.Drops))
		require.False(t, v.bench.Stands(coach.Request{Now: now}, a.Stock, 3*a.Drops))
	}
}

// TestNoDoseOnAVagueReading: near the aim a vague reading is waited out.
func TestNoDoseOnAVagueReading(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	waits := 0
	for range 60 {
		v := newVirtual(r)
		_, last, y, _ := v.titrate(t)
		if last.Do != coach.Stop {
			continue
		}
		near := last.Aim - v.up*0.03
		a := v.bench.Advise(coach.Request{Now: coach.Present{PH: near, Shown: near, SD: 0.1, FinalSD: 0.004}})
		never(t, v, a, y)
		if a.Do == coach.Wait {
			waits++
		}
	}
	require.Greater(t, waits, 50)
}
