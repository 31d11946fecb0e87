package recipe

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/table"
)

// mostTitrants is how many bottles the coach keeps apart.
const mostTitrants = 8

// Compile checks a plan and makes it computable. The error is of type
// Problems and lists every fault found.
func Compile(p Plan) (*Setup, error) { return compile(p, true) }

func compile(p Plan, doable bool) (*Setup, error) {
	var bad Problems
	s := &Setup{Plan: p}
	if p.Find != nil {
		s.findTarget(p, &bad)
	} else {
		s.target(p, &bad)
	}
	s.beaker(p, &bad)
	s.weighed(p, &bad)
	s.stocks(p, &bad)
	switch {
	case len(bad) > 0 || !doable:
	case p.Find != nil:
		s.findable(&bad)
	default:
		s.possible(&bad)
	}
	if len(bad) > 0 {
		return nil, bad
	}
	return s, nil
}

func (s *Setup) target(p Plan, bad *Problems) {
	s.Tolerance = or(p.Target.Tolerance, DefaultTolerance)
	if p.Target.PH == nil {
		bad.Add("target.ph", "missing", "add the pH wanted in use, for example ph = 7.40")
	} else if s.Target = *p.Target.PH; !(s.Target >= 1 && s.Target <= 13) {
		bad.Add("target.ph", fmt.Sprintf("%g is outside 1–13", s.Target), "the coach works from pH 1 to 13")
	}
	if !(s.Tolerance >= 0.005 && s.Tolerance <= 1) {
		bad.Add("target.tolerance", fmt.Sprintf("%g is outside 0.005–1", s.Tolerance), "0.02 is the finest that a bench meter supports, 0.05 is usual")
	}
}

func (s *Setup) beaker(p Plan, bad *Problems) {
	s.BenchTemp = chem.Celsius(or(p.Beaker.TempC, DefaultTempC))
	s.UseTemp = chem.Celsius(or(p.Target.UseTempC, float64(s.BenchTemp)))
	s.Start = volume("beaker.start_ml", p.Beaker.StartML, bad)
	s.Final = volume("beaker.final_ml", p.Beaker.FinalML, bad)
	for _, t := range []struct {
		field string
		at    chem.Celsius
	}{{"beaker.temp_c", s.BenchTemp}, {"target.use_temp_c", s.UseTemp}} {
		if !(t.at >= 0 && t.at <= 60) {
			bad.Add(t.field, fmt.Sprintf("%g °C is outside 0–60 °C", float64(t.at)), "the model holds from 0 to 60 °C")
		}
	}
	if s.Dilute = or(p.Target.Dilute, 1); !(s.Dilute >= 1 && s.Dilute <= MostTimes) {
		bad.Add("target.dilute", fmt.Sprintf("%g is outside 1–%d", s.Dilute, MostTimes), "10 for a tenfold stock; leave it out for a buffer used as made")
	}
	if s.Start > 0 && s.Final > 0 && s.Final < s.Start {
		bad.Add("beaker.final_ml", fmt.Sprintf("the mark at %g mL is below the %g mL in the beaker", s.Final.Millilitres(), s.Start.Millilitres()), "start with about 80 % of the final volume")
	}
}

func volume(field string, ml *float64, bad *Problems) chem.Volume {
	switch {
	case ml == nil:
		bad.Add(field, "missing", "give the volume in mL, for example "+field[strings.IndexByte(field, '.')+1:]+" = 400")
	case !(*ml > 0 && *ml <= 1e5):
		bad.Add(field, fmt.Sprintf("%g mL: must be above 0 and at most 100 L", *ml), "")
	default:
		return chem.Volume(*ml) * chem.Millilitre
	}
	return 0
}

func (s *Setup) weighed(p Plan, bad *Problems) {
	for i, w := range p.Weighed {
		field := fmt.Sprintf("weighed[%d]", i+1)
		r, n, mine, err := p.unknown(w)
		if !mine {
			r, n, err = w.amount()
		}
		if err != nil {
			bad.Add(field+place(err), err.Error(), Hint(err))
			continue
		}
		s.Weighed = append(s.Weighed, Portion{p.boiled(r), n, w.Late})
	}
	s.late(p, bad)
}

func (w Weighed) amount() (table.Reagent, chem.Amount, error) {
	switch {
	case w.Reagent == "":
		return table.Reagent{}, 0, &FieldError{"reagent", "missing", `name the reagent, for example reagent = "HEPES"`}
	case w.MMol == nil && w.Grams == nil:
		return table.Reagent{}, 0, &FieldError{"mmol", "missing", "give mmol = … or grams = …"}
	case w.MMol != nil && w.Grams != nil:
		return table.Reagent{}, 0, &FieldError{"grams", "given as well as mmol", "give only one of the two"}
	case w.MMol != nil:
		if !(*w.MMol > 0) || math.IsInf(*w.MMol, 0) {
			return table.Reagent{}, 0, &FieldError{"mmol", fmt.Sprintf("%g: the amount must be above zero", *w.MMol), ""}
		}
		r, err := table.ByAmount(w.Reagent)
		if err == nil && !r.Definite() {
			return r, 0, &FieldError{"mmol", r.Name + " is a mixture without a molar mass", "give grams = …"}
		}
		return r, chem.Amount(*w.MMol) * chem.Millimole, err
	}
	if !(*w.Grams > 0) || math.IsInf(*w.Grams, 0) {
		return table.Reagent{}, 0, &FieldError{"grams", fmt.Sprintf("%g: must be a mass above zero", *w.Grams), ""}
	}
	purity := or(w.PurityPct, 100)
	if !(purity > 0 && purity <= 100) {
		return table.Reagent{}, 0, &FieldError{"purity_pct", fmt.Sprintf("%g: must be above 0 and at most 100", purity), ""}
	}
	return table.FromMass(w.Reagent, chem.Mass(*w.Grams)*chem.Gram, purity/100)
}

func place(err error) string {
	var f *FieldError
	if errors.As(err, &f) {
		return "." + f.Key
	}
	return ".reagent"
}

func (s *Setup) stocks(p Plan, bad *Problems) {
	drops := map[string]int{}
	names, bottles := map[string]bool{}, map[string]bool{}
	for i, t := range p.Titrants {
		field := fmt.Sprintf("titrant[%d]", i+1)
		st, err := t.stock()
		if err != nil {
			bad.Add(field+place(err), err.Error(), Hint(err))
			continue
		}
		if names[st.Name] {
			bad.Add(field+".name", fmt.Sprintf("%q is used twice", st.Name), "each titrant needs a name of its own")
		}
		names[st.Name] = true
		if k := strings.ToLower(st.Bottle); k != "" && bottles[k] {
			bad.Add(field+".bottle", fmt.Sprintf("%q is there twice", st.Bottle), "each bottle has one name, and each name one bottle")
		}
		bottles[strings.ToLower(st.Bottle)] = true
		by := st.drippedBy(i)
		if _, ok := drops[by]; !ok {
			drops[by] = len(drops)
		}
		st.Dropper = drops[by]
		s.Stocks = append(s.Stocks, st)
	}
	if len(p.Titrants) > mostTitrants {
		bad.Add("titrant", fmt.Sprintf("%d titrants, at most %d are allowed", len(p.Titrants), mostTitrants), "leave out those that are not needed: one for the bulk addition, one for the last steps, one for the back-titration")
	}
	if len(p.Titrants) == 0 {
		bad.Add("titrant", "no titrant", "add at least one [[titrant]] with name, reagent and molar")
	}
}

// isDate reports whether a text is a date as 2026-11-25.
func isDate(s string) bool {
	var y, m, d int
	n, err := fmt.Sscanf(s, "%4d-%2d-%2d", &y, &m, &d)
	return n == 3 && err == nil && len(s) == len("2026-11-25") && y > 1900 && m >= 1 && m <= 12 && d >= 1 && d <= 31
}

// drippedBy tells droppers apart: by their names, else by the size of the drop. No
// two bottles share a pipette, and none shares it with a dropper; a bottle with a
// name is taken to have a dropper of its own when none is named.
func (s Stock) drippedBy(i int) string {
	switch {
	case s.ByML:
		return fmt.Sprintf("step %d", i)
	case s.DropperName != "":
		return "named " + strings.ToLower(s.DropperName)
	case s.Bottle != "":
		return "of " + strings.ToLower(s.Bottle)
	}
	return fmt.Sprintf("drop %g", s.Drop.Microlitres())
}

func (t Titrant) stock() (Stock, error) {
	switch {
	case t.Reagent == "":
		return Stock{}, &FieldError{"reagent", "missing", `name the reagent, for example reagent = "NaOH"`}
	case t.Molar == nil:
		return Stock{}, &FieldError{"molar", "missing", "give the strength in mol/L, for example molar = 1.0"}
	case !(*t.Molar > 0 && *t.Molar <= 25):
		return Stock{}, &FieldError{"molar", fmt.Sprintf("%g mol/L: must be above 0 and at most 25", *t.Molar), ""}
	}
	r, err := table.ByAmount(t.Reagent)
	if err != nil {
		return Stock{}, err
	}
	st := Stock{Name: t.Name, Reagent: r, Molar: chem.Molarity(*t.Molar), Bottle: strings.TrimSpace(t.Bottle), DropperName: strings.TrimSpace(t.Dropper)}
	if t.Opened != "" {
		if st.Opened = t.Opened; !isDate(t.Opened) {
			return Stock{}, &FieldError{"opened", fmt.Sprintf("%q is not a date", t.Opened), `write year, month and day, as in opened = "2026-11-25"`}
		}
		if st.Bottle == "" {
			return Stock{}, &FieldError{"opened", "a bottle without a name was opened", `name it: bottle = "B7"`}
		}
	}
	if st.Name == "" {
		st.Name = fmt.Sprintf("%s %g M", t.Reagent, *t.Molar)
	}
	ul, sd := or(t.DropUL, DefaultDropUL), DefaultDropSDPct
	if t.DropUL != nil {
		sd = MeasuredDropSDPct
	}
	sd, strength := or(t.DropSDPct, sd), or(t.MolarSDPct, defaultMolarSDPct)
	for _, v := range []struct {
		key     string
		v       float64
		low, up float64
	}{{"drop_ul", ul, 1, 500}, {"drop_sd_pct", sd, 0.1, 60}, {"molar_sd_pct", strength, 0.01, 60}} {
		if !(v.v >= v.low && v.v <= v.up) {
			return Stock{}, &FieldError{v.key, fmt.Sprintf("%g is outside %g–%g", v.v, v.low, v.up), ""}
		}
	}
	st.Drop, st.DropSD, st.MolarSD = chem.Volume(ul)*chem.Microlitre, sd/100, strength/100
	return st, t.by(&st)
}
