package coachtest

import (
	"math"
	"math/rand/v2"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/account"
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

// Virtual is a bench with what the coach is told and what is true.
type Virtual struct {
	Bench    coach.Bench
	Up       float64 // 1 where it goes up in pH, else -1
	model    *chem.Model
	beaker   chem.Composition
	DropTrue float64   // of the labelled drop
	Strength []float64 // of the labelled ones
	offset   float64
	r        *rand.Rand
}

// NewVirtual is the next of them that can be titrated.
func NewVirtual(r *rand.Rand) *Virtual {
	for {
		if v := tryVirtual(r); v != nil {
			return v
		}
	}
}

func tryVirtual(r *rand.Rand) *Virtual {
	sys := steps[r.IntN(len(steps))]
	step := r.IntN(len(sys.Steps))
	vol := 0.05 + 0.9*r.Float64()
	mol := vol * math.Exp(math.Log(0.005)+r.Float64()*math.Log(100))
	v := &Virtual{Up: 1, r: r, offset: 0.02 * r.NormFloat64(), DropTrue: math.Exp(0.1 * r.NormFloat64())}
	charge := float64(sys.Charge - step)
	if r.IntN(2) == 0 {
		v.Up, charge = -1, charge-1
	}
	weighed := chem.Composition{Totals: [chem.MaxSystems]float64{mol}, Charge: -charge * mol, Strength: math.Abs(charge) * mol}
	drops := 15 + 185*r.Float64()
	molar := (0.25 + 0.5*r.Float64()) * mol / (drops * Drop.Litres())
	m, _ := chem.NewModel(25, []*chem.System{sys})
	v.Bench = coach.Bench{Bench: account.Bench{
		Model: m, Use: m, Weighed: weighed, Water: chem.Composition{Water: vol * 0.8}, Buffer: mol,
		Start: chem.Volume(vol * 0.8), Final: chem.Volume(vol), FinalKg: vol, Tolerance: 0.02,
		Stocks: []coach.Stock{strong(molar, v.Up), strong(molar/10, v.Up), strong(molar/10, -v.Up)},
	}}
	c := v.Bench.Water.Plus(1, weighed).Plus(drops*Drop.Litres(), v.Bench.Stocks[0].PerLitre)
	c.Water = vol
	e, err := m.Solve(&c)
	if err != nil || e.PH < 3 || e.PH > 11 {
		return nil
	}
	v.Bench.Target = e.PH
	v.model, _ = chem.NewModel(25, []*chem.System{moved(sys, 0.03*r.NormFloat64())})
	v.beaker = v.Bench.Water.Plus(math.Exp(0.015*r.NormFloat64()), weighed)
	v.beaker.Charge += 0.01 * mol * r.NormFloat64()
	for j := range v.Bench.Stocks {
		v.Bench.Stocks[j].Name = []string{"strong", "weak", "back"}[j]
		v.Strength = append(v.Strength, math.Exp(0.04*r.NormFloat64()))
	}
	return v
}

func strong(molar, z float64) coach.Stock {
	return coach.Stock{
		PerLitre: chem.Composition{Water: 1, Charge: z * molar, Strength: molar}, Molarity: chem.Molarity(molar),
		Drop: Drop, DropSD: 0.10, StrengthSD: 0.04,
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

// Reading is the settled reading of a meter with two decimals.
func (v *Virtual) Reading() float64 {
	return math.Round((PH(v.model, v.beaker)+v.offset+0.003*v.r.NormFloat64())*100) / 100
}

// Add gives what was advised.
func (v *Virtual) Add(a coach.Advice) {
	vol := a.Volume.Litres() * v.DropTrue * (1 + 0.05/math.Sqrt(a.Drops)*v.r.NormFloat64())
	solute := v.Bench.Stocks[a.Stock].PerLitre
	solute.Charge *= v.Strength[a.Stock]
	v.beaker = v.beaker.Plus(vol, solute)
}

// in is the chance that the reading after an addition is within so much of the aim, from
// the central 95 %.
func in(a coach.Advice, within float64) float64 {
	sd := (a.High - a.Low) / (2 * 1.96) * math.Sqrt2
	off := a.After - a.Aim
	return (math.Erf((within-off)/sd) - math.Erf((-within-off)/sd)) / 2
}

// Ends is the chance that an advised addition leaves less than 0.65 of the tolerance to the aim.
func (v *Virtual) Ends(a coach.Advice) float64 { return in(a, 0.65*v.Bench.Tolerance) }

// Lands is the chance that an advised addition ends in tolerance.
func (v *Virtual) Lands(a coach.Advice) float64 { return in(a, v.Bench.Tolerance) }

// On is a settled reading as a Virtual bench gives them: known to 0.005, after 200 s.
func On(y float64) coach.Present {
	return coach.Present{PH: y, SD: 0.005, FinalSD: 0.005, Shown: y, Settled: true, Age: 200}
}

// Titrate does what the coach says until it says something else than add; each advice is first
// shown to look.
func (v *Virtual) Titrate(look func(h coach.History, a coach.Advice, y float64)) (h coach.History, last coach.Advice, y float64) {
	for range 30 {
		y = v.Reading()
		last = v.Bench.Advise(coach.Request{History: h, Now: On(y)})
		if look != nil {
			look(h, last, y)
		}
		if last.Do != coach.Add {
			return h, last, y
		}
		h.Observations = append(h.Observations, coach.Observation{After: len(h.Additions), PH: y, SD: 0.005})
		h.Additions = append(h.Additions, coach.Addition{Stock: last.Stock, Volume: last.Volume, Drops: last.Drops})
		v.Add(last)
	}
	return h, last, y
}

// Second is a bench after its first addition, the history with the reading before it, and
// what the meter shows now; ok is false where it is not one to wait at: too near the aim, or
// too far from it.
func Second(r *rand.Rand) (v *Virtual, h coach.History, y, aim float64, ok bool) {
	v = NewVirtual(r)
	y = v.Reading()
	a := v.Bench.Advise(coach.Request{Now: On(y)})
	if a.Do != coach.Add {
		return v, h, y, a.Aim, false
	}
	h = coach.History{Additions: []coach.Addition{{Stock: a.Stock, Volume: a.Volume, Drops: a.Drops}}, Observations: []coach.Observation{{PH: y, SD: 0.005}}}
	v.Add(a)
	y = v.Reading()
	way := math.Abs(y - a.Aim)
	return v, h, y, a.Aim, way > 0.1 && way < 0.35
}
