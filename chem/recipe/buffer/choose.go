package buffer

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
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
	Flags    []chem.Flag
	From     Form // the form to weigh when titrated
	Base     bool // it is brought up with base
	Misfits  []Misfit
	Points   float64 // the lower the better: the sum of what Why lists
	Why      []Reason
	content  chem.Solution
	inUse    *chem.Result
}

// Misfit is a property that was to be avoided and that the buffer has.
type Misfit struct {
	table.Trait
}

// Reason is a part of the points of a candidate, in words.
type Reason struct {
	Points float64
	Words  string
	Source string // where the words come from; "" for what is computed here
}

// maxDistance is how far from pKa′ a buffer still holds: a third of its
// capacity is left at ± 1 (the usual range, common practice).
const MaxDistance = 1.0

// Rank lists the buffers for a demand, best first. A demand that names a
// buffer ranks that one alone. The error is of type Problems and says what
// would be possible instead.
func Rank(d Demand) ([]Candidate, error) {
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

// strong are the strong acid and the strong base to titrate with. Near the
// target they have to bring the charge of their kind.
func (d *Demand) Strong() (acid, base table.Reagent, err error) { return d.titrants(0.5) }

// titrants are strong where so much of their charge is enough: of a recipe that
// somebody else has written, a tenth of formic acid is what it says.
func (d *Demand) titrants(least float64) (acid, base table.Reagent, err error) {
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
	if q, e := d.brings(acid); e == nil && q > -least && d.PH >= 1 && d.PH <= 13 { // else the pH is the fault
		return acid, base, &recipe.FieldError{Key: "acid", What: fmt.Sprintf("%s is not an acid at pH %g", acid.Name, d.PH), Hint: "HCl is usual; the acid has to have lost its proton at the target: one that is to be in it all the same goes into what it also contains"}
	}
	if q, e := d.brings(base); e == nil && q < least && d.PH >= 1 && d.PH <= 13 {
		return acid, base, &recipe.FieldError{Key: "base", What: fmt.Sprintf("%s is not a base at pH %g", base.Name, d.PH), Hint: "NaOH and KOH are usual"}
	}
	return
}

// brings is the charge that a mol of a reagent has at the target, without the
// protons: below zero for an acid.
func (d *Demand) brings(r table.Reagent) (float64, error) {
	s := r.Dissolved(1)
	m, err := chem.NewModel(d.Use, recipe.Union(nil, s))
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
	q, _ := m.ChargeIn(d.PH, &md, &c)
	q0, _ := m.ChargeIn(d.PH, &md, &free)
	return q - q0, nil
}

// fits turns a list without anything usable into a problem.
func (d *Demand) fits(all []Candidate, last error) error {
	if len(all) > 0 {
		return nil
	}
	var far *farError
	if bad := d.Problems(last); bad != nil && (d.Buffer != "" || !errors.Is(last, ErrNoPair)) {
		return bad
	}
	var bad recipe.Problems
	switch {
	case errors.As(last, &far) && far.water && d.Buffer != "":
		bad.Add("mM", far.Error(), fmt.Sprintf("use more of it, or a strong %s and no buffer; or allow pKa′ beyond ±1", far.strong()))
	case errors.As(last, &far) && d.Buffer != "":
		bad.Add("ph", far.Error(), fmt.Sprintf("it buffers pH %.1f to %.1f; for %g try %s; or allow pKa′ beyond ±1", far.pk-1, far.pk+1, d.PH, d.instead()))
	case d.Buffer == "":
		bad.Add("ph", fmt.Sprintf("no buffer here has a pKa′ within ± 1 of pH %g at %g °C and holds it better, at %s mM, than free acid or base does", d.PH, float64(d.Use), chem.Digits(1e3*float64(d.Molar), 3)), d.nearestRange())
	case last != nil:
		bad.Add("buffer", last.Error(), "")
	}
	return bad
}

// Problems is an error that came in the way of a demand as what is wrong with its fields;
// nil where the error is none of those that a demand can mend.
func (d *Demand) Problems(err error) recipe.Problems {
	var bad recipe.Problems
	var much *table.SolubilityError
	var salt *strengthError
	var solid *table.PrecipitateError
	beside := "mM" // where what comes out was asked for: beside the buffer, where anything is
	if len(d.With) > 0 {
		beside = "with"
	}
	switch {
	case errors.As(err, &bad):
	case errors.As(err, &solid):
		bad.Add(beside, solid.Error(), "use less, or a substitute that avoids it")
	case errors.As(err, &salt):
		bad.Add("ionic", salt.Error(), "use less buffer, or leave the ionic strength unadjusted")
	case errors.As(err, &much):
		field, hint := d.tooMuch(much.Reagent)
		bad.Add(field, fmt.Sprintf("%s: %s mol per kg of water, and only about %s dissolves at %g °C", much.Reagent, chem.Digits(much.Have, 2), chem.Digits(much.Limit, 2), float64(much.Temp)),
			hint+"; the solubility is a handbook value that was not confirmed")
	case errors.Is(err, ErrNoPair):
		bad.Add("way", strings.TrimPrefix(d.Buffer+": ", ": ")+err.Error(), "use one form and a strong acid or base; or say which forms are available")
	case errors.Is(err, chem.ErrAbsurd) && d.Times > 1:
		bad.Add("strength", err.Error(), "make a weaker stock")
	case errors.Is(err, chem.ErrAbsurd):
		bad.Add(beside, err.Error(), "check the amounts and their units")
	}
	return bad
}

// tooMuch is where more of a reagent was asked for than dissolves, and what to try.
func (d *Demand) tooMuch(name string) (field, hint string) {
	field, hint = "mM", "use less, or another buffer"
	if slices.ContainsFunc(d.With, func(x Ingredient) bool { return x.Reagent.Name == name }) {
		field, hint = "with", "use less of it"
	}
	if d.Times > 1 {
		hint = "make a weaker stock"
	}
	return field, hint
}

// farError says that a buffer's nearest pKa′ is too far from the target, or that
// acid or base by itself holds that pH better than the buffer does.
type farError struct {
	name   string
	pk, ph float64
	water  bool
}

func (e *farError) Error() string {
	if e.water {
		return fmt.Sprintf("at pH %g the free %s holds the pH better than so much %s does, whose pKa′ is %.2f", e.ph, e.strong(), e.name, e.pk)
	}
	return fmt.Sprintf("%s has its nearest pKa′ at %.2f, %.1f away from pH %g: it would hardly buffer", e.name, e.pk, math.Abs(e.ph-e.pk), e.ph)
}

// strong is what makes the pH where water itself buffers.
func (e *farError) strong() string {
	if e.ph > 7 {
		return "base"
	}
	return "acid"
}

// instead names the best three buffers of any kind.
func (d Demand) instead() string {
	d.Buffer, d.Have, d.Bottles = "", nil, nil
	list, err := Rank(d)
	if err != nil || len(list) == 0 {
		return "another pH"
	}
	out := list[0].System.Name
	for _, c := range list[1:min(3, len(list))] {
		out += ", " + c.System.Name
	}
	return out
}

// nearestRange says what can be held instead of the target.
func (d Demand) nearestRange() string {
	if d.Anyway {
		return "choose a pH nearer to 7"
	}
	d.Anyway = true
	list, err := Rank(d)
	if err != nil || len(list) == 0 {
		return "choose a pH nearer to 7"
	}
	far := func(c Candidate) float64 {
		if table.HabitOf(c.System.Name).Standing == table.Odd {
			return 5 + math.Abs(c.Distance)
		}
		return math.Abs(c.Distance)
	}
	slices.SortStableFunc(list, func(a, b Candidate) int { return cmp.Compare(far(a), far(b)) })
	c := list[0]
	return fmt.Sprintf("the nearest is %s, which buffers pH %.1f to %.1f; to use it anyway, name it and allow pKa′ beyond ±1", c.System.Name, c.PK-1, c.PK+1)
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
	if dist := math.Abs(d.PH - pk); dist > MaxDistance && !d.Anyway {
		return nil, &farError{name: s.Name, pk: pk, ph: d.PH}
	}
	own := f.Result.Capacity - waterCapacity(f.Result)
	if own < f.Result.Capacity/2 && !d.Anyway {
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
		Spread: f.Result.Spread, Flags: f.Result.Flags, content: f.Solution, inUse: f.Result,
	}
	c.Share = own / (onePK * float64(d.Molar))
	c.judge(d)
	return []Candidate{c}, nil
}

// onePK is ln(10)/4: the capacity of a lone step at its pKa, per mol/L. D. D. Van Slyke, J. Biol. Chem. 52, 525 (1922).
const onePK = math.Ln10 / 4

// waterCapacity is the part of the capacity that H⁺ and OH⁻ have by
// themselves: in strong acid or base they do what the buffer should.
func waterCapacity(r *chem.Result) float64 {
	sum := 0.0
	for _, sp := range r.Species {
		if sp.System == "water" {
			sum += math.Ln10 * sp.Molarity
		}
	}
	return sum
}

func nearestStep(r *chem.Result, s *chem.System, ph float64) (step int, pk float64) {
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
