// Package prepare is from a demand and a buffer to what is done at the bench: amounts to
// weigh, titrants and how they are made up, the plan for the coach, and a sheet with
// physical sense.
package prepare

import (
	"errors"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/curve"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
)

// Draft is a demand turned into a recipe, a plan and the reasons for both.
type Draft struct {
	Demand    buffer.Demand
	Buffer    buffer.Candidate
	Way       buffer.Way
	Measures  []Measure
	Titrants  []Chosen
	Dilutions []Dilution
	Plan      recipe.Plan
	Setup     *recipe.Setup
	Forecast  coach.Forecast
	Aim       Aim
	InUse     *solved.Result // at the mark, at the temperature of use
	Salt      chem.Amount    // that raises the ionic strength
	Spread    float64        // one standard deviation of the pH in use before any correction
	Amount    chem.Amount    // of titrant to the aim, way ByTitrant
	AmountSD  chem.Amount    // its standard deviation
	Base      bool           // the titrant is the base
	StartUse  float64        // pH of the one form alone, way ByTitrant
	StartSD   float64        // one standard deviation of the pH that the beaker has first
	Other     *Recipe        // the other way, for comparison
	OtherErr  error          // why there is none
	Slow      []Slow         // what does not dissolve at once
	Chilled   bool           // what dissolves cools it so far that the rest waits until it is warm again
	Water     chem.Volume    // to put into the beaker first
	Cold      string         // what happens in the refrigerator; "" for nothing
	Notes     []string
}

// Recipe is what one of the ways takes.
type Recipe struct {
	Way      buffer.Way
	Measures []Measure
	Titrant  table.Reagent // way ByTitrant
	Spread   float64
	buffer.Finished
	acid, base table.Reagent // to titrate or correct with
}

// For turns a demand and a buffer of Rank into a recipe and a plan. The
// error is of type Problems and says what is possible instead.
func For(d buffer.Demand, c buffer.Candidate) (*Draft, error) {
	out, err := draftFor(d, c)
	if err != nil {
		return turned(d, c, err)
	}
	return out, nil
}

func draftFor(d buffer.Demand, c buffer.Candidate) (*Draft, error) {
	d = d.Said()
	d.Buffer = bufferName(d, c)
	out := &Draft{Demand: d, Buffer: c, Way: d.Way}
	r, err := makeIt(&d, c, d.Way)
	if err != nil {
		return nil, asProblems(&d, err)
	}
	other := buffer.BySalts
	if d.Way == buffer.BySalts {
		other = buffer.ByTitrant
	}
	if o, err := makeIt(&d, c, other); err == nil {
		out.Other = &o
	} else {
		out.OtherErr = err
	}
	out.Measures, out.Salt, out.InUse, out.Spread = r.Measures, r.Salt, r.Result, r.Spread
	out.Amount, out.Base, out.StartUse = r.Amount, r.Base, r.Start
	if err := out.plan(r); err != nil {
		return nil, asProblems(&d, err)
	}
	out.aim(r)
	if err := out.clear(); err != nil {
		return nil, asProblems(&d, err)
	}
	out.Dilutions = out.dilutions(out.Titrants)
	out.Notes = out.notes(r)
	return out, nil
}

// bufferName keeps the name a person used, which may stand for one form.
func bufferName(d buffer.Demand, c buffer.Candidate) string {
	if d.Buffer != "" {
		return d.Buffer
	}
	return c.System.Name
}

// makeIt makes a buffer one of the two ways.
func makeIt(d *buffer.Demand, c buffer.Candidate, way buffer.Way) (Recipe, error) {
	x := *d
	x.Way = way
	r := Recipe{Way: way}
	var err error
	if r.acid, r.base, err = x.Strong(); err != nil {
		return r, err
	}
	forms, err := x.FormsFor(c.System)
	if err != nil {
		return r, err
	}
	if way == buffer.BySalts {
		return r, r.salts(&x, forms)
	}
	return r, r.oneForm(&x, forms)
}

func (r *Recipe) salts(d *buffer.Demand, forms []buffer.Form) error {
	p, err := d.ByRatio(forms)
	if err != nil {
		return err
	}
	total := d.Content()
	na, nb := p.Amounts(total)
	r.Finished = p.Finished
	r.Measures = []Measure{measured(d, p.Acid, na, "the acid form"), measured(d, p.Base, nb, "the base form")}
	r.base = d.BaseFor(p.Base, r.base)
	r.Spread = p.RatioSpread(total, d.InUse())
	if err := table.CheckDissolved([]table.Reagent{p.Acid.Reagent, p.Base.Reagent}, p.Solution, p.Result); err != nil {
		return err
	}
	if err := table.CheckClear(p.Result); err != nil {
		return err
	}
	return r.addRest(d)
}

func (r *Recipe) oneForm(d *buffer.Demand, forms []buffer.Form) error {
	f, fin, err := d.BestForm(forms, r.acid, r.base)
	if err != nil {
		return err
	}
	r.base = d.BaseFor(f, r.base)
	if r.Finished, r.Titrant = fin, r.acid; r.Base {
		r.Titrant = r.base
	}
	n := chem.Amount(float64(d.Content()) / float64(f.Units))
	r.Measures = []Measure{measured(d, f, n, "the buffer")}
	r.Spread = fin.Result.Spread
	if err := d.Dissolves(fin, f); err != nil {
		return err
	}
	return r.addRest(d)
}

// addRest measures what is in it beside the buffer, and the salt that raises
// the ionic strength.
func (r *Recipe) addRest(d *buffer.Demand) error {
	for _, x := range d.With {
		r.Measures = append(r.Measures, measured(withoutPurity(d), formOf(x), x.Amount, asked(d, x)))
	}
	if r.Salt <= 0 {
		return nil
	}
	m, err := saltMeasured(d, r.Salt)
	r.Measures = append(r.Measures, m)
	return err
}

// formOf is an ingredient with the other hydrates of it, where its name leaves
// them open.
func formOf(x buffer.Ingredient) buffer.Form {
	f := buffer.Form{Reagent: x.Reagent, Units: 1}
	list, err := table.Find(x.Name)
	if err != nil {
		list = nil
	}
	for _, r := range list {
		switch {
		case !slices.Equal(r.Parts, x.Reagent.Parts) || r.Formula == f.Formula:
		case f.By == table.Memory && r.By == table.Seen: // the jar that is usually at hand
			f.Hydrates = append(f.Hydrates, f.Reagent)
			f.Reagent = r
		default:
			f.Hydrates = append(f.Hydrates, r)
		}
	}
	f.Definite = len(f.Hydrates) == 0
	return f
}

// plan chooses the titrants and writes the plan that the coach works from: what would be in
// the beaker on the way decides what waits, and is then not in it.
func (x *Draft) plan(r Recipe) error {
	if err := x.planned(r); err != nil {
		return err
	}
	if x.sort() {
		return x.planned(r)
	}
	return nil
}

func (x *Draft) planned(r Recipe) error {
	d := &x.Demand
	start, err := beakerVolume(d, r.Measures)
	if err != nil {
		if d.Times > 1 {
			return recipe.Wrong("strength", err.Error(), "make a weaker stock, or add what takes up most volume at dilution")
		}
		if volumes(r.Measures) == 0 { // nothing is poured: solids with the water to stir them in
			return recipe.Wrong("mM", strings.Replace(err.Error(), "what goes in takes up", "stirred into as much water as it needs, what is weighed takes up", 1), "use less: no room is left to titrate in")
		}
		return recipe.Wrong("stock", err.Error(), "weigh the solid instead, or take a stronger stock solution")
	}
	x.Plan = bare(d, r, start)
	n, charge, err := nearAim(d, x.Plan, r)
	if err != nil {
		return err
	}
	if x.Titrants, err = n.choose(d, r.acid, r.base, charge); err != nil {
		return err
	}
	if x.Way == buffer.BySalts {
		bothWays(x.Titrants, charge > 0)
	}
	x.Plan.Titrants = nil
	for _, t := range x.Titrants {
		x.Plan.Titrants = append(x.Plan.Titrants, titrantOf(d, t))
	}
	if x.Setup, err = recipe.Compile(x.Plan); err != nil {
		return roomHint(err)
	}
	x.Water = roundVolume(waterFor(d, r.Measures, x.Setup))
	b, err := x.Setup.Bench(d.Bench)
	if err != nil {
		return err
	}
	x.Forecast = b.Forecast()
	x.Aim.Later = b.Target - d.PH
	for i, v := range x.Forecast.Need {
		if x.Titrants[i].Volume = chem.Volume(v); math.IsNaN(v) || x.Titrants[i].Role == Back {
			x.Titrants[i].Volume = 0
		}
		x.Titrants[i].Drops = float64(x.Titrants[i].Volume / n.drop)
	}
	if x.Way == buffer.ByTitrant {
		care := curve.OrdinaryCare()
		shift := math.Hypot(care.Meter, r.Result.Spread)
		q, err := n.perMole(x.Titrants[0].Reagent) // of a weak one, more goes in for the same pH
		if err != nil {
			return err
		}
		x.AmountSD = chem.Amount(math.Hypot(care.Relative*float64(x.Amount), shift*n.capacity/q))
	}
	return nil
}

// roomHint says how much would have to be left out for the titrant to fit.
func roomHint(err error) error {
	var bad recipe.Problems
	if !errors.As(err, &bad) {
		return err
	}
	for i := range bad {
		if strings.Contains(bad[i].What, "under the mark") {
			bad[i].Hint = "start with less water, use a stronger bottle, or make it from two salts"
		}
	}
	return bad
}

// nearAim computes the beaker near the aim, and the charge that leads there,
// base counted up, with titrants so strong that they take no room.
func nearAim(d *buffer.Demand, p recipe.Plan, r Recipe) (*near, float64, error) {
	trial := 10.0
	for _, t := range []table.Reagent{r.acid, r.base} {
		p.Titrants = append(p.Titrants, recipe.Titrant{Name: t.Name, Reagent: buffer.Short(t), Molar: &trial, DropUL: d.DropUL})
	}
	s, err := recipe.CompileAmended(p)
	if err != nil {
		return nil, 0, err
	}
	b, err := s.Bench(d.Bench)
	if err != nil {
		return nil, 0, err
	}
	f := b.Forecast()
	c, charge := b.Weighed.Plus(1, b.Water), 0.0
	for i, v := range f.Need {
		if !math.IsNaN(v) {
			c = c.Plus(v, b.Stocks[i].PerLitre)
			md := b.Model.Salt(0.1)
			q, _ := b.Model.ChargeIn(f.Aim, &md, &b.Stocks[i].PerLitre)
			charge = v * q
			break
		}
	}
	var md chem.Medium
	e, err := b.Model.SolveIn(&c, f.Aim, &md)
	if err != nil {
		return nil, 0, err
	}
	n := &near{capacity: b.Model.Capacity(&c, e), ph: e.PH, medium: md, model: b.Model, temp: d.Bench,
		drop: s.Stocks[0].Drop, tol: d.Tolerance, final: s.Final, room: s.Final - s.Start - (volumes(r.Measures) - volumes(early(r.Measures)))}
	return n, charge, nil
}

// asProblems is an error on the way to a draft as problems of its demand.
func asProblems(d *buffer.Demand, err error) error {
	var much *tooCoarse
	if errors.As(err, &much) {
		return recipe.Wrong("ml", much.Error(), much.hint())
	}
	if bad := d.Problems(err); bad != nil {
		return bad
	}
	return recipe.Wrong("", err.Error(), "")
}
