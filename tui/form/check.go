package form

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/written"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/mixture"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/sheet"
)

// read takes the recipe apart, and the pH, temperature, titrant and volume that
// it says into the demand, where no flag says another.
func (f Wanted) read(d *buffer.Demand) (*written.Reading, error) {
	r, err := written.Read(f.Check, d.Volume*chem.Volume(d.Times))
	if err != nil {
		return nil, refused(inField(err, "check"))
	}
	switch {
	case !f.Changed("ml") && r.Volume == 0 && !r.Amounts:
		d.Volume = chem.Litre // concentrations need none
	case !f.Changed("ml") && r.Volume == 0:
		hint := "give the final volume, as in --ml 1000, or say it in the recipe: water to 1 L"
		if r.Poured > 0 {
			hint += fmt.Sprintf("; the liquids poured add up to %s mL", chem.Digits(r.Poured.Millilitres(), 4))
		}
		return nil, remedy.Call(errors.New("--ml: made up to what volume?"), hint)
	case r.Loose && f.Changed("ml"): // dissolved in less, and made up to what the flag says
		if r, err = written.ReadMadeUp(f.Check, d.Volume*chem.Volume(d.Times)); err != nil {
			return nil, refused(inField(err, "check"))
		}
	case r.Volume > 0 && f.Changed("ml") && math.Abs(float64(r.Volume/d.Volume)-1) > 1e-6:
		return nil, remedy.Call(fmt.Errorf("the recipe says %s mL and --ml %s mL", chem.Digits(r.Volume.Millilitres(), 4), chem.Digits(d.Volume.Millilitres(), 4)), "leave one out")
	case r.Volume > 0:
		d.Volume = r.Volume
	}
	if !f.Changed("ml") && r.Volume == 0 { // read again for the litre
		if r, err = written.Read(f.Check, d.Volume*chem.Volume(d.Times)); err != nil {
			return nil, refused(inField(err, "check"))
		}
	}
	if !f.Changed("ph") {
		d.PH = r.PH
	} else if math.Abs(r.PH-d.PH) > 0.005 {
		r.Notes = append(r.Notes, fmt.Sprintf("the recipe says pH %s; --ph %s counts", phrase.PH(r.PH), phrase.PH(d.PH)))
	}
	d.Gas = r.Gas
	if !math.IsNaN(d.PH) && !(d.PH >= 1 && d.PH <= 13) {
		return nil, remedy.Call(fmt.Errorf("pH %g is outside 1–13", d.PH), "the model works from pH 1 to 13")
	}
	if !math.IsNaN(r.Temp) && !f.Changed("temp") {
		d.Use = chem.Celsius(r.Temp)
	}
	return r, f.titrantOf(d, r)
}

// titrantOf takes the acid or base that a recipe is brought to its pH with.
func (f Wanted) titrantOf(d *buffer.Demand, r *written.Reading) error {
	name := r.Titrant
	if name == "" {
		return nil
	}
	if _, err := table.ByAmount(name); err != nil {
		return remedy.Call(phrase.Plain(err))
	}
	acid, base := written.Either(name, d.Acid, d.Base)
	if !f.Changed("acid") {
		d.Acid = acid
	}
	if !f.Changed("base") {
		d.Base = base
		if r.Implied && d.Base == "" && slices.ContainsFunc(r.Parts, func(p written.Part) bool { return supplies(p.Reagent, "ammonia") }) {
			d.Base = "NH3" // what brings an ammonium salt up is to leave no metal ion in it
		}
	}
	return nil
}

// supplies reports whether a reagent brings an acid or base.
func supplies(x table.Reagent, system string) bool {
	return slices.ContainsFunc(x.Parts, func(p table.Part) bool { return p.System != nil && p.System.Name == system })
}

// of reports whether a name is that of a reagent.
func of(x table.Reagent, name string) bool {
	r, err := table.ByAmount(name)
	return err == nil && r.Name == x.Name
}

// aSolvent is the share of the volume that a neutral solute takes up from which what is known of
// it is said; our own choice.
const aSolvent = 0.1

// nearBy is how far from its pH, in pH, a recipe may come out that is made without
// acid or base: what is farther off was left out of it.
const nearBy = 0.3

// examine is halfdrop plan --check: what pH will this give?
func (f Wanted) examine(at Terminal) error {
	switch {
	case f.Out != "":
		return remedy.Call(errors.New("--check examines a recipe and writes no plan"), "leave out --out, or give the target with --ph and no --check")
	case f.With != "":
		return remedy.Call(errors.New("--check and --with exclude each other"), "write all of it into --check")
	}
	if !f.Changed("ph") {
		f.PH = 7
	}
	d, err := f.Demand()
	if err != nil {
		return err
	}
	if !(d.Volume > 0 && d.Volume < 1e5) {
		return remedy.Call(fmt.Errorf("--ml %g: must be a volume above 0 mL", f.ML))
	}
	r, err := f.read(&d)
	if err != nil {
		return err
	}
	var content chem.Solution
	var list []table.Reagent
	for _, p := range r.Parts {
		content = chem.Mix(content, p.Reagent.Dissolved(p.Amount))
		list = append(list, p.Reagent)
	}
	e, err := buffer.Examine(d, content, list)
	var bad recipe.Problems
	if errors.As(err, &bad) {
		return refused(err)
	}
	if err != nil {
		return mixture.Refused(err)
	}
	for _, n := range r.Notes {
		fmt.Fprintf(at.Talk, "halfdrop: note: %s\n", n)
	}
	// A recipe that says its pH is brought to it, where its parts lead nowhere near.
	strong := errors.Is(e.FixErr, buffer.ErrTooStrong)
	within := 2 * e.InUse.Spread
	if strong {
		within = 0 // so wide a spread would cover any pH
	}
	missed := !(math.Abs(e.Off) <= math.Max(nearBy, within))
	brought := (e.Fixed != nil || strong) && (r.Titrant != "" || missed && !f.Changed("ph") && !r.ItsOwn())
	last := e.InUse
	if brought && !strong {
		last = e.Fixed
	}
	if r.Times > 1 && d.Times <= 1 {
		if err := e.Dilute(r.Times, brought); err != nil {
			return mixture.Refused(err)
		}
		if strong {
			if err := e.GoBySample(d, content); err != nil {
				return mixture.Refused(err)
			}
		}
	}
	if x, err := table.ByAmount(r.Titrant); brought && !strong && !r.Guessed && !r.Implied && err == nil && x.Name != e.FixWith.Name {
		fmt.Fprintf(at.Talk, "halfdrop: note: the recipe brings it there with %s, which leads the other way from pH %.2f\n", r.Titrant, e.InUse.PH)
	}
	for _, flag := range last.Flags {
		fmt.Fprintf(at.Talk, "halfdrop: note: %s\n", flag)
		for _, p := range r.Parts {
			share := float64(p.Amount) * float64(p.Reagent.Room) / float64(d.InUse())
			if flag.Doubt == solved.OtherSolvent && share > aSolvent && p.Reagent.Note != "" {
				fmt.Fprintf(at.Talk, "halfdrop: note: %s: %s\n", p.Reagent.Name, p.Reagent.Note)
			}
		}
	}
	for _, n := range buffer.InAir(list, last.PH, d.Use) {
		fmt.Fprintf(at.Talk, "halfdrop: note: %s\n", n)
	}
	if f.JSON {
		return sheet.WriteExamJSON(at.Out, e, brought)
	}
	p := sheet.Page(sheet.Plain)
	if f.Markdown {
		p = sheet.Markdown{}
	}
	return sheet.WriteExam(at.Out, p, d, e, brought, r.Titrant == "" || r.Guessed || r.Implied && !of(e.FixWith, r.Titrant))
}
