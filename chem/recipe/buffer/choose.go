package buffer

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
)

// Candidate is a buffer for a demand, with the figures it is ranked by.
type Candidate struct {
	System   *chem.System
	Step     int     // place in System.Steps, from 0
	PK       float64 // pKa′ at the ionic strength and temperature of use
	Distance float64 // target minus PK
	Capacity float64 // at the target in use, mol/L per pH
	Share    float64 // the buffer's own part of it, of the 0.576 C that a lone step has at its pKa
	DPHDT    float64 // per °C
	Strength float64 // ionic strength in use, mol/kg
	PerLitre float64 // the same, mol/L
	Spread   float64 // one standard deviation of the predicted pH
	Flags    []solved.Flag
	From     Form // the form to weigh when titrated
	Base     bool // it is brought up with base
	Misfits  []Misfit
	Points   float64 // the lower the better: the sum of what Why lists
	Why      []Reason
	inUse    *solved.Result
}

// Misfit is a property that was to be avoided and that the buffer has.
type Misfit struct {
	table.Trait
}

// Reason is a part of the points of a candidate, in words.
type Reason struct {
	Points float64 `json:"points"`
	Words  string  `json:"words"`
	Source string  `json:"source,omitempty"` // where the words come from; "" for what is computed here
}

// maxDistance is how far from pKa′ a buffer still holds: a third of its
// capacity is left at ± 1 (the usual range, common practice).
const MaxDistance = 1.0

// Rank lists the buffers for a demand, best first. A demand that names a
// buffer ranks that one alone. The error is of type Problems and says what
// would be possible instead.
func Rank(d Demand) ([]Candidate, error) {
	d = d.Said()
	bad := d.check()
	acid, base, err := d.Strong()
	if err != nil {
		field := "acid"
		var f *recipe.FieldError
		if errors.As(err, &f) {
			field = f.Key
		}
		bad.Add(field, err.Error(), recipe.Hint(err))
	}
	systems := slices.DeleteFunc(table.Systems(), func(s *chem.System) bool { return table.KindOf(s.Name) != table.Buffer })
	if d.Buffer != "" {
		s, _, err := named(d.Buffer)
		if err != nil {
			bad.Add("buffer", err.Error(), recipe.Hint(err))
		}
		systems = []*chem.System{s}
	}
	if _, err := d.cupboard(); err != nil {
		bad.Add("have", err.Error(), recipe.Hint(err))
	}
	if _, err := table.ByAmount(d.Salt); err != nil {
		bad.Add("salt", err.Error(), recipe.Hint(err))
	}
	if len(bad) > 0 {
		return nil, bad
	}
	var all []Candidate
	var last error
	for _, s := range systems {
		list, err := d.Candidates(s, acid, base)
		if err != nil {
			last = err
		}
		all = append(all, list...)
	}
	slices.SortStableFunc(all, func(a, b Candidate) int { return cmp.Compare(a.Points, b.Points) })
	return all, d.fits(all, last)
}

// leastCharge is the charge that a mole of an acid or base has to have at the target to be
// titrated with there. Where less is left of it, nine parts in ten only make the
// buffer stronger: formic acid below pH 2.8. Our own choice.
const leastCharge = 0.1

// Strong are the acid and the base to titrate with. At the target they have to bring
// some of the charge of their kind: HCl and NaOH all of it, a weak one a part.
func (d *Demand) Strong() (acid, base table.Reagent, err error) {
	if acid, err = table.ByAmount(d.Acid); err != nil {
		return
	}
	name := d.Base
	if name == "" {
		name = "NaOH"
	}
	if base, err = table.ByAmount(name); err != nil {
		return
	}
	if q, e := d.Brings(acid); e == nil && q > -leastCharge && d.PH >= 1 && d.PH <= 13 { // else the pH is the fault
		return acid, base, &recipe.FieldError{Key: "acid", What: fmt.Sprintf("%s is not an acid at pH %g", acid.Name, d.PH), Hint: "HCl is usual; the acid has to have lost its proton at the target: one that is to be in it all the same goes into what it also contains"}
	}
	if q, e := d.Brings(base); e == nil && q < leastCharge && d.PH >= 1 && d.PH <= 13 {
		return acid, base, &recipe.FieldError{Key: "base", What: fmt.Sprintf("%s is not a base at pH %g", base.Name, d.PH), Hint: "NaOH and KOH are usual"}
	}
	return
}

// usual is how much of an acid or base there is in a litre that was titrated with it, mol. In
// a strong solution some associate to stronger ones, as boric acid does to polyborates.
const usual = 0.05

// Brings is the charge that a mol of a reagent has at the target, without the
// protons: below zero for an acid.
func (d *Demand) Brings(r table.Reagent) (float64, error) {
	s := r.Dissolved(chem.Amount(usual))
	m, err := chem.NewModel(d.Use, s.Kinds())
	if err != nil {
		return 0, err
	}
	s.Volume = 1
	c, err := m.Compose(s)
	if err != nil {
		return 0, err
	}
	free := chem.Composition{Water: c.Water} // H⁺ and OH⁻ do not count
	md := m.Salt(0.1)
	q := m.BalanceIn(d.PH, &md, &c).Charge // which knows what a strong solution associates to
	q0, _ := m.ChargeIn(d.PH, &md, &free)
	return (q - q0) / usual, nil
}

// candidates are the steps of one system near the target.
func (d *Demand) Candidates(s *chem.System, acid, base table.Reagent) ([]Candidate, error) {
	forms, err := d.FormsFor(s)
	if err != nil {
		return nil, err
	}
	best, f, err := d.BestForm(forms, acid, base)
	if err != nil {
		return nil, err
	}
	step, pk := nearestStep(f.Result, s, d.PH)
	anyway := d.Anyway || d.Buffer != "" && table.KindOf(s.Name) == table.Other // a stock solution of what nobody buffers with
	if dist := math.Abs(d.PH - pk); dist > MaxDistance+0.005 && !anyway {       // as it is printed
		return nil, &farError{name: s.Name, pk: pk, ph: d.PH}
	}
	own := f.Result.Capacity - waterCapacity(f.Result)
	if own < f.Result.Capacity/2 && !anyway {
		return nil, &farError{name: s.Name, pk: pk, ph: d.PH, water: true}
	}
	if err := d.Dissolves(f, best); err != nil {
		return nil, err
	}
	if d.Way == BySalts {
		if _, err := d.ByRatio(forms); err != nil {
			return nil, err
		}
	}
	c := Candidate{
		System: s, Step: step, PK: pk, Distance: d.PH - pk, From: best, Base: f.Base,
		Capacity: f.Result.Capacity, DPHDT: f.Result.DPHDT, Strength: f.Result.Strength, PerLitre: f.Result.MolarStrength(),
		Spread: f.Result.Spread, Flags: f.Result.Flags, inUse: f.Result,
	}
	c.Share = own / (onePK * float64(d.Molar))
	c.judge(d)
	return []Candidate{c}, nil
}

// onePK is ln(10)/4: the capacity of a lone step at its pKa, per mol/L. D. D. Van Slyke, J. Biol. Chem. 52, 525 (1922).
const onePK = math.Ln10 / 4

// waterCapacity is the part of the capacity that H⁺ and OH⁻ have by
// themselves: in strong acid or base they do what the buffer should.
func waterCapacity(r *solved.Result) float64 {
	sum := 0.0
	for _, sp := range r.Species {
		if sp.System == "water" {
			sum += math.Ln10 * sp.Molarity
		}
	}
	return sum
}

func nearestStep(r *solved.Result, s *chem.System, ph float64) (step int, pk float64) {
	pk = math.NaN()
	for i := range s.Steps {
		if x := practicalPK(r, s, i); math.IsNaN(pk) || math.Abs(x-ph) < math.Abs(pk-ph) {
			step, pk = i, x
		}
	}
	return step, pk
}

// dissolves refuses what is above the solubility, as weighed and as finished.
func (d *Demand) Dissolves(f Finished, form Form) error {
	if err := table.CheckDissolved([]table.Reagent{form.Reagent}, f.Solution, f.Result); err != nil {
		return err
	}
	return table.CheckClear(f.Result)
}

// bestForm is the form to titrate: one that can be weighed, that leaves the
// least salt, and needs the least titrant.
func (d *Demand) BestForm(forms []Form, acid, base table.Reagent) (Form, Finished, error) {
	var best Form
	var out Finished
	var last error
	found := false
	for _, form := range forms {
		f, err := d.bring(form.content(d.Content()), acid, d.BaseFor(form, base))
		if err != nil {
			last = nearer(last, err)
			continue
		}
		if !found || d.before(form, f, best, out) {
			best, out, found = form, f, true
		}
	}
	if !found {
		if last == nil {
			last = errors.New("no reagent in the tables supplies it alone")
		}
		return best, out, last
	}
	return best, out, nil
}

// nearer is the later of two errors, of two on the ionic strength the one that misses
// it by less.
func nearer(a, b error) error {
	var x, y *strengthError
	if errors.As(a, &x) && errors.As(b, &y) && x.have < y.have {
		return a
	}
	return b
}

// before reports whether a form is better to start from than another. What is
// in the cupboard as a bottle counts as weighable.
func (d *Demand) before(a Form, fa Finished, b Form, fb Finished) bool {
	if x, y := d.easy(a), d.easy(b); x != y {
		return x
	}
	if x, y := d.Base != "" && d.foreign(a), d.Base != "" && d.foreign(b); x != y {
		return y
	}
	if x, y := a.Usual(), b.Usual(); x != y {
		return x
	}
	if r := fa.Result.Strength / fb.Result.Strength; r < 0.98 || r > 1.02 {
		return r < 1
	}
	return fa.Amount < fb.Amount*0.98
}

func (d *Demand) easy(f Form) bool {
	if f.Solid() {
		return true
	}
	return slices.ContainsFunc(d.Bottles, func(b Bottle) bool { return slices.Equal(b.Reagent.Parts, f.Parts) })
}
