package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/phrase"
	"github.com/spf13/cobra"
)

// read takes the recipe apart, and the pH, temperature, titrant and volume that
// it says into the demand, where no flag says another.
func (f planFlags) read(d *recipe.Demand) (*recipe.Reading, error) {
	r, err := recipe.Read(f.check, d.Volume*chem.Volume(d.Times))
	if err != nil {
		return nil, planError(inField(err, "check"))
	}
	switch {
	case !f.changed("ml") && r.Volume == 0 && strings.Contains(f.check, "M"):
		d.Volume = chem.Litre // concentrations need none
	case !f.changed("ml") && r.Volume == 0:
		return nil, usageError(errors.New("--ml: made up to what volume?"), "give the final volume, as in --ml 1000, or say it in the recipe: water to 1 L")
	case r.Volume > 0 && f.changed("ml") && math.Abs(float64(r.Volume/d.Volume)-1) > 1e-6:
		return nil, usageError(fmt.Errorf("the recipe says %s mL and --ml %s mL", phrase.Sig(r.Volume.Millilitres(), 4), phrase.Sig(d.Volume.Millilitres(), 4)), "leave one out")
	case r.Volume > 0:
		d.Volume = r.Volume
	}
	if !f.changed("ml") && r.Volume == 0 { // read again for the litre
		if r, err = recipe.Read(f.check, d.Volume*chem.Volume(d.Times)); err != nil {
			return nil, planError(inField(err, "check"))
		}
	}
	if !f.changed("ph") {
		d.PH = r.PH
	}
	if !math.IsNaN(d.PH) && !(d.PH >= 1 && d.PH <= 13) {
		return nil, usageError(fmt.Errorf("--ph %g is outside 1–13", d.PH))
	}
	if !math.IsNaN(r.Temp) && !f.changed("temp") {
		d.Use = chem.Celsius(r.Temp)
	}
	return r, f.titrantOf(d, r.Titrant)
}

// titrantOf takes the acid or base that a recipe is brought to its pH with.
func (f planFlags) titrantOf(d *recipe.Demand, name string) error {
	if name == "" {
		return nil
	}
	r, err := table.ByAmount(name)
	if err != nil {
		return usageError(phrase.Plain(err))
	}
	base := false
	for _, p := range r.Parts {
		base = base || p.System == nil && p.Ion.Charge > 0 || p.System != nil && p.System.Charge > 0
	}
	switch {
	case base && !f.changed("base"):
		d.Base = name
	case !base && !f.changed("acid"):
		d.Acid = name
	}
	return nil
}

// runPlanCheck is halfdrop plan --check: what pH will this give?
func runPlanCheck(cmd *cobra.Command, f planFlags) error {
	switch {
	case f.out != "":
		return usageError(errors.New("--check looks at a recipe and writes no plan"), "leave --out out, or give the target with --ph without --check")
	case f.with != "":
		return usageError(errors.New("--check and --with exclude each other"), "write all of it into --check")
	}
	if !f.changed("ph") {
		f.ph = 7
	}
	d, err := f.demand()
	if err != nil {
		return err
	}
	if !(d.Volume > 0 && d.Volume < 1e5) {
		return usageError(fmt.Errorf("--ml %g: a volume above 0 mL is wanted", f.ml))
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
	e, err := recipe.Examine(d, content, list)
	if err != nil {
		return describeError(err)
	}
	for _, n := range r.Notes {
		fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: note: %s\n", n)
	}
	last := e.InUse
	if r.Titrant != "" && e.Fixed != nil {
		last = e.Fixed
	}
	for _, flag := range last.Flags {
		fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: note: %s\n", flag)
	}
	if f.asJSON {
		return writeExamJSON(cmd.OutOrStdout(), e)
	}
	p := page(newPlainText(cmd.OutOrStdout()))
	if f.markdown {
		p = markdown{}
	}
	return writeExam(cmd.OutOrStdout(), p, d, e, r.Titrant != "")
}

// freeText is how much of a metal ion is free, as people write recipes: per litre.
func freeText(f chem.Free) string {
	return molar(f.Free*f.PerLitre) + " of " + molar(f.Total*f.PerLitre)
}

// molar is a concentration, mol/L, in a unit that fits.
func molar(m float64) string {
	switch {
	case m >= 1e-4:
		return phrase.Sig(1e3*m, 3) + " mM"
	case m >= 1e-7:
		return phrase.Sig(1e6*m, 3) + " µM"
	case m >= 1e-10:
		return phrase.Sig(1e9*m, 3) + " nM"
	}
	return fmt.Sprintf("%.2g M", m)
}

// writeExam prints what a recipe gives; brought is whether it says that it is
// brought to its pH.
func writeExam(w io.Writer, p page, d recipe.Demand, e *recipe.Exam, brought bool) error {
	last, made := e.InUse, fmt.Sprintf("at %s °C, made up to %s mL", phrase.Sig(float64(d.Use), 3), phrase.Sig(d.Volume.Millilitres(), 4))
	lines := []string{fmt.Sprintf("pH %.2f ± %s %s.", last.PH, phrase.Sig(last.Spread, 1), made)}
	if brought = brought && e.Fixed != nil; brought {
		last = e.Fixed
		lines = []string{fmt.Sprintf("Brought to pH %s %s, it takes %s mmol of %s; as weighed it is pH %.2f.", phrase.PH(d.PH), made, phrase.Sig(e.Fix.Millimoles(), 3), e.FixWith.Name, e.InUse.PH)}
	}
	lines = append(lines, fmt.Sprintf("Capacity %s mM per pH, ionic strength %s mM, dpH/dT %+.3f per °C.", phrase.Sig(1e3*last.Capacity, 2), phrase.Sig(1e3*last.Strength, 3), last.DPHDT))
	if d.Bench != d.Use && !brought {
		lines = append(lines, fmt.Sprintf("At the bench, %s °C, the meter shows pH %.2f.", phrase.Sig(float64(d.Bench), 3), e.AtBench.PH))
	}
	if e.Stronger != nil {
		lines = append(lines, fmt.Sprintf("As the %s-fold stock, before it is diluted, it reads pH %.2f ± %s at %s °C.", phrase.Sig(d.Times, 3), e.Stronger.PH, phrase.Sig(e.Stronger.Spread, 1), phrase.Sig(float64(d.Bench), 3)))
	}
	for _, m := range last.Free {
		if m.Total > 0 {
			lines = append(lines, fmt.Sprintf("Free %s %s.", m.System, freeText(m)))
		}
	}
	if !brought {
		lines = append(lines, verdictOf(d, e)...)
	}
	for _, x := range e.Now {
		lines = append(lines, "It does not stay clear: "+table.Words(x)+".")
	}
	for _, x := range e.Later {
		lines = append(lines, "With days or heat: "+table.Words(x)+".")
	}
	_, err := io.WriteString(w, p.bullets(lines))
	return err
}

// verdictOf compares with the target, if there is one.
func verdictOf(d recipe.Demand, e *recipe.Exam) []string {
	switch {
	case math.IsNaN(e.Off):
		return nil
	case math.Abs(e.Off) <= d.Tolerance:
		return []string{fmt.Sprintf("The target of %s ± %s is met: %+.2f from it.", phrase.PH(d.PH), phrase.Sig(d.Tolerance, 2), e.Off)}
	case math.Abs(e.Off) <= 2*e.InUse.Spread:
		return []string{fmt.Sprintf("The target of %s is missed by %+.2f, which is within the doubt of ± %s: measure it before anything is added.", phrase.PH(d.PH), e.Off, phrase.Sig(e.InUse.Spread, 1))}
	case e.FixErr != nil:
		return []string{fmt.Sprintf("The target of %s is missed by %+.2f, and no %s brings it there: %s.", phrase.PH(d.PH), e.Off, d.Acid, phrase.Plain(e.FixErr))}
	}
	s := fmt.Sprintf("The target of %s ± %s is missed by %+.2f: %s mmol of %s more would bring it there.", phrase.PH(d.PH), phrase.Sig(d.Tolerance, 2), e.Off, phrase.Sig(e.Fix.Millimoles(), 3), e.FixWith.Name)
	return []string{s}
}

// examJSON is what plan --check --json prints.
type examJSON struct {
	PH       float64  `json:"ph"`
	Spread   float64  `json:"spread"`
	Strength float64  `json:"ionic_strength"`
	Capacity float64  `json:"buffer_capacity"`
	DPHDT    float64  `json:"dph_dt"`
	AtBench  float64  `json:"bench_ph"`
	Off      *float64 `json:"off,omitempty"`
	Fix      *float64 `json:"fix_mmol,omitempty"`
	FixWith  string   `json:"fix_with,omitempty"`
}

func writeExamJSON(w io.Writer, e *recipe.Exam) error {
	j := examJSON{PH: e.InUse.PH, Spread: e.InUse.Spread, Strength: e.InUse.Strength, Capacity: e.InUse.Capacity, DPHDT: e.InUse.DPHDT, AtBench: e.AtBench.PH}
	if !math.IsNaN(e.Off) {
		j.Off = &e.Off
		if e.FixErr == nil {
			n := e.Fix.Millimoles()
			j.Fix, j.FixWith = &n, e.FixWith.Name
		}
	}
	return writeJSONLine(w, j)
}
