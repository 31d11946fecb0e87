package recipe

import (
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/account"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
)

// Setup is a plan that has been checked and can be computed with.
type Setup struct {
	Plan      Plan
	Target    float64 // pH in use
	Tolerance float64
	UseTemp   chem.Celsius
	BenchTemp chem.Celsius // of the beaker as planned
	Start     chem.Volume
	Final     chem.Volume
	Dilute    float64 // so many times before use; 1 is not at all
	Weighed   []Portion
	Stocks    []Stock
	What      find.What // what is looked for, where Plan.Find is there
}

// Portion is a reagent in the beaker, or one that goes in late: once the pH is set.
type Portion struct {
	Reagent table.Reagent
	Amount  chem.Amount
	Late    bool
}

// Stock is a titrant ready to compute with.
type Stock struct {
	Name    string
	Reagent table.Reagent
	Molar   chem.Molarity
	Drop    chem.Volume
	DropSD  float64 // of ln drop size
	MolarSD float64 // of ln strength
	Dropper int     // stocks with the same number share a dropper
	ByML    bool    // it is given by a pipette or a burette, and Drop is its step

	Bottle      string // its own name; empty when it has none
	Opened      string // year-month-day; empty when that is not known
	DropperName string
}

// Bottles are the stocks as a command line has them: "NaOH 5 M".
func (s *Setup) Bottles() (out []string) {
	for i, x := range s.Stocks {
		out = append(out, fmt.Sprintf("%s %s M", s.Plan.Titrants[i].Reagent, chem.Digits(float64(x.Molar), 4)))
	}
	return out
}

// PerLitre is one litre of the stock.
func (s Stock) PerLitre(t chem.Celsius) chem.Solution {
	return chem.Mix(chem.Solution{Volume: chem.Litre, Temp: t}, s.Reagent.Dissolved(s.Molar.In(chem.Litre)).At(t))
}

// Unweighed reports whether nobody knows what is in the beaker.
func (s *Setup) Unweighed() bool { return len(s.Plan.Weighed) == 0 }

// Content is what is in the beaker while it is titrated, without water.
func (s *Setup) Content() chem.Solution { return Dissolved(s.Weighed) }

// Dissolved is what portions bring into a beaker that is titrated, without water: those that
// go in late are not there yet.
func Dissolved(portions []Portion) chem.Solution { return dissolved(portions, false) }

func dissolved(portions []Portion, late bool) (c chem.Solution) {
	for _, p := range portions {
		if p.Late == late {
			c = chem.Mix(c, p.Reagent.Dissolved(p.Amount))
		}
	}
	return c
}

// Beaker is the solution before titration at temperature t.
func (s *Setup) Beaker(t chem.Celsius) chem.Solution {
	return chem.Mix(chem.Solution{Volume: s.Start, Temp: t}, s.Content().At(t))
}

// InUse is all that goes in made up and diluted as it is used, without titrant.
func (s *Setup) InUse() chem.Solution {
	return chem.Mix(s.Content(), s.Later()).At(s.UseTemp).MadeUpTo(s.Final * chem.Volume(s.Dilute))
}

// StartKg is the water in the beaker before titration, at temperature t: what
// the solutes leave of its volume.
func (s *Setup) StartKg(t chem.Celsius) float64 { return s.Beaker(t).WaterMass().Kilograms() }

// UseKg is the water of all that is made, in use.
func (s *Setup) UseKg() float64 { return s.InUse().WaterMass().Kilograms() }

// Systems are all acid–base systems of beaker and titrants, each once.
func (s *Setup) Systems() []*chem.System {
	all := chem.Mix(s.Content(), s.Later())
	for _, st := range s.Stocks {
		all = chem.Mix(all, st.Reagent.Dissolved(1))
	}
	return s.withCarbonate(all.Kinds())
}

// Bench is the setup for the coach with the beaker at temperature t.
func (s *Setup) Bench(t chem.Celsius) (*coach.Bench, error) {
	systems := s.Systems()
	var extra []alternative
	if s.Plan.Find == nil {
		extra = s.alternatives()
	}
	for _, a := range extra {
		systems = Union(systems, a.content.Kinds()...)
	}
	m, err := chem.NewModel(t, systems)
	if err != nil {
		return nil, fmt.Errorf("recipe: %w", err)
	}
	use, err := chem.NewModel(s.UseTemp, systems)
	if err != nil {
		return nil, fmt.Errorf("recipe: %w", err)
	}
	b := &coach.Bench{Bench: account.Bench{Model: m, Use: use, Start: s.Start, Final: s.Final, Target: s.Target, Tolerance: s.Tolerance}}
	b.Water = chem.Composition{Water: s.StartKg(t)}
	b.FinalKg = s.UseKg()
	if b.Weighed, b.Buffer, err = dry(m, s.Content()); err != nil {
		return nil, err
	}
	b.Unweighed, b.AmountSD = s.Unweighed(), s.amountSD()
	for _, st := range s.Stocks {
		c, err := m.Compose(st.PerLitre(t))
		if err != nil {
			return nil, fmt.Errorf("recipe: %w", err)
		}
		b.Stocks = append(b.Stocks, coach.Stock{
			Name: st.Name, PerLitre: c, Molarity: st.Molar, Drop: st.Drop,
			Dropper: st.Dropper, DropSD: st.DropSD, StrengthSD: st.MolarSD,
		})
	}
	if s.Plan.Find != nil {
		return b, s.guide(b)
	}
	if err := s.before(b); err != nil {
		return nil, err
	}
	if !s.Unweighed() {
		if _, d, err := atAim(b); err == nil { // else nobody is asked to believe what cannot be computed
			b.DoubtPH, b.DoubtLn = d.PH, d.LnCapacity
		}
	}
	if b.Unweighed { // there is nothing that could have been mistaken, but for a bottle
		for j := range b.Stocks {
			b.Mistakes = append(b.Mistakes, otherKind(&b.Stocks[j], j))
		}
		return b, nil
	}
	if b.Mistakes, err = s.mistakes(m, b, extra); err != nil {
		return nil, err
	}
	return b, nil
}

// Advisable is a problem where nothing is to be advised: above the ionic
// strength up to which the activity model was checked. Such a plan can be
// computed, with its doubt, and titrated by hand.
func (s *Setup) Advisable() error {
	if s.Unweighed() {
		return nil
	}
	b, err := s.Bench(s.BenchTemp)
	if err != nil {
		return err
	}
	e, _, err := atAim(b)
	if err != nil {
		return err
	}
	if e.Strength <= chem.StrongLimit {
		return nil
	}
	return Problems{{"weighed", fmt.Sprintf("at the aim the ionic strength is %s mol/kg: above %g no advice is given: the activity model was not checked there", chem.Digits(e.Strength, 2), chem.StrongLimit),
		"make it weaker; or titrate it by hand, in small portions, following the bench sheet"}}
}

// atAim is the beaker at the aim, titrated with the first bottle that leads there, and how far
// its chemistry may be trusted.
func atAim(b *coach.Bench) (chem.Equilibrium, solved.Doubts, error) {
	f := b.Forecast()
	c := b.Weighed.Plus(1, b.Water)
	for i, v := range f.Need {
		if !math.IsNaN(v) {
			c = c.Plus(v, b.Stocks[i].PerLitre)
			break
		}
	}
	var md chem.Medium
	e, err := b.Model.SolveIn(&c, f.Aim, &md)
	if err != nil {
		return e, solved.Doubts{}, fmt.Errorf("recipe: %w", err)
	}
	return e, solved.Judge(b.Model, &c, e, &md), nil
}

// dry composes solutes alone; buffer is the amount of acid–base systems, metal
// ions left aside.
func dry(m *chem.Model, s chem.Solution) (c chem.Composition, buffer float64, err error) {
	if c, err = m.Compose(s); err != nil {
		return c, 0, fmt.Errorf("recipe: %w", err)
	}
	c.Water = 0
	for i, sys := range m.Systems() {
		if table.KindOf(sys.Name) != table.Metal {
			buffer += c.Totals[i]
		}
	}
	if buffer == 0 {
		buffer = math.Abs(c.Charge) // a strong acid or base alone
	}
	return c, buffer, nil
}

// Union is a list of systems with those of others that it has not.
func Union(list []*chem.System, others ...*chem.System) []*chem.System {
	for _, s := range others {
		if !slices.ContainsFunc(list, func(have *chem.System) bool { return have.Name == s.Name }) {
			list = append(slices.Clip(list), s)
		}
	}
	return list
}
