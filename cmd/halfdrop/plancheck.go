package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
	"github.com/spf13/cobra"
)

// quantity is a number with its unit, set apart from the name of a reagent.
var quantity = regexp.MustCompile(`(?:^|\s)([0-9]*\.?[0-9]+)\s*(mmol|mol|mM|M|mg|g|mL|ml|L|µL|uL|drops?)(?:$|\s)`)

// units of a part of a recipe, in what they are counted: mol, g, mol/L, L.
var unitOf = map[string]struct {
	what  string
	scale float64
}{
	"mol": {"amount", 1}, "mmol": {"amount", 1e-3}, "g": {"mass", 1}, "mg": {"mass", 1e-3}, "M": {"strength", 1}, "mM": {"strength", 1e-3},
	"L": {"volume", 1}, "mL": {"volume", 1e-3}, "ml": {"volume", 1e-3}, "µL": {"volume", 1e-6}, "uL": {"volume", 1e-6},
	"drop": {"volume", recipe.DefaultDropUL * 1e-6}, "drops": {"volume", recipe.DefaultDropUL * 1e-6},
}

// splitQuantities takes the numbers with units out of a text.
func splitQuantities(text string) (name string, got map[string]float64, err error) {
	got = map[string]float64{}
	rest := " " + text + " "
	for {
		m := quantity.FindStringSubmatchIndex(rest)
		if m == nil {
			return strings.Join(strings.Fields(rest), " "), got, nil
		}
		x, err := strconv.ParseFloat(rest[m[2]:m[3]], 64)
		u := unitOf[rest[m[4]:m[5]]]
		if err != nil || !(x >= 0) {
			return "", nil, usageError(fmt.Errorf("%q: %q is not a number to work with", text, rest[m[2]:m[3]]))
		}
		if _, twice := got[u.what]; twice {
			return "", nil, usageError(fmt.Errorf("%q gives the %s twice", text, u.what), "one reagent a part; set the parts apart with semicolons")
		}
		got[u.what] = x * u.scale
		rest = rest[:m[0]] + " " + rest[m[1]:]
	}
}

// parseBottle reads "NaOH 1 M".
func parseBottle(text string) (recipe.Bottle, error) {
	name, got, err := splitQuantities(text)
	if err != nil {
		return recipe.Bottle{}, err
	}
	molar, ok := got["strength"]
	if !ok || len(got) != 1 || !(molar > 0) {
		return recipe.Bottle{}, usageError(fmt.Errorf("--stock %q: a reagent and a strength are wanted", text), `as in --stock "NaOH 1 M"`)
	}
	r, err := table.ByAmount(name)
	if err != nil {
		return recipe.Bottle{}, usageError(plain(fmt.Errorf("--stock: %w", plain(err))))
	}
	return recipe.Bottle{Reagent: r, Molar: chem.Molarity(molar)}, nil
}

// parseRecipe reads the parts of a recipe for a final volume.
func parseRecipe(text string, final chem.Volume) (chem.Solution, []table.Reagent, error) {
	var s chem.Solution
	var list []table.Reagent
	parts := regexp.MustCompile(`;|\n|, | \+ `).Split(text, -1)
	for _, p := range parts {
		if strings.TrimSpace(p) == "" {
			continue
		}
		r, n, err := parsePart(p, final)
		if err != nil {
			return s, nil, err
		}
		list = append(list, r)
		s = chem.Mix(s, r.Dissolved(n))
	}
	if len(list) == 0 {
		return s, nil, usageError(errors.New("--check: no reagent in it"), `as in --check "Tris 6.06 g; HCl 29 mmol"`)
	}
	return s, list, nil
}

// parsePart reads "Tris 6.06 g", "50 mM Tris", "HCl 1 M 6.2 mL".
func parsePart(text string, final chem.Volume) (table.Reagent, chem.Amount, error) {
	text = strings.TrimSpace(text)
	name, got, err := splitQuantities(text)
	if err != nil {
		return table.Reagent{}, 0, err
	}
	if name == "" || len(got) == 0 {
		return table.Reagent{}, 0, usageError(fmt.Errorf("%q: a reagent with its amount is wanted", text), `as in "Tris 6.06 g", "NaCl 100 mM" or "HCl 1 M 6.2 mL"`)
	}
	_, hasMass := got["mass"]
	_, hasVolume := got["volume"]
	if hasMass && len(got) == 1 {
		r, n, err := table.FromMass(name, chem.Mass(got["mass"]), 1)
		return r, n, usageOr(err)
	}
	r, err := table.ByAmount(name)
	if err != nil {
		return r, 0, usageOr(err)
	}
	amount, hasAmount := got["amount"]
	strength, hasStrength := got["strength"]
	switch {
	case hasAmount && len(got) == 1:
		return r, chem.Amount(amount), nil
	case hasStrength && len(got) == 1:
		return r, chem.Molarity(strength).In(final), nil
	case hasStrength && hasVolume && len(got) == 2:
		return r, chem.Molarity(strength).In(chem.Volume(got["volume"])), nil
	case hasVolume && len(got) == 1:
		return r, 0, usageError(fmt.Errorf("%q: a volume of what strength?", text), `as in "HCl 1 M 6.2 mL"`)
	}
	return r, 0, usageError(fmt.Errorf("%q gives the amount in two ways", text), `give one, as in "Tris 6.06 g", "NaCl 100 mM" or "HCl 1 M 6.2 mL"`)
}

func usageOr(err error) error {
	if err == nil {
		return nil
	}
	return usageError(plain(err))
}

// runPlanCheck is halfdrop plan --check: what pH will this give?
func runPlanCheck(cmd *cobra.Command, f planFlags) error {
	switch {
	case f.out != "":
		return usageError(errors.New("--check looks at a recipe and writes no plan"), "leave --out out, or give the target with --ph without --check")
	case !f.changed("ml"):
		return usageError(errors.New("--ml: made up to what volume?"), "give the final volume, as in --ml 1000")
	case !f.changed("ph"):
		f.ph = 7
	}
	d, err := f.demand()
	if err != nil {
		return err
	}
	if !(d.Volume > 0 && d.Volume < 1e5) {
		return usageError(fmt.Errorf("--ml %g: a volume above 0 mL is wanted", f.ml))
	}
	content, list, err := parseRecipe(f.check, d.Volume)
	if err != nil {
		return err
	}
	if !f.changed("ph") {
		d.PH = math.NaN()
	} else if !(d.PH >= 1 && d.PH <= 13) {
		return usageError(fmt.Errorf("--ph %g is outside 1–13", d.PH))
	}
	e, err := recipe.Examine(d, content, list)
	if err != nil {
		return describeError(err)
	}
	for _, flag := range e.InUse.Flags {
		fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: note: %s\n", flag)
	}
	if f.asJSON {
		return writeExamJSON(cmd.OutOrStdout(), e)
	}
	p := page(newPlainText(cmd.OutOrStdout()))
	if f.markdown {
		p = markdown{}
	}
	return writeExam(cmd.OutOrStdout(), p, d, e)
}

func writeExam(w io.Writer, p page, d recipe.Demand, e *recipe.Exam) error {
	lines := []string{
		fmt.Sprintf("pH %.2f ± %s at %s °C, made up to %s mL.", e.InUse.PH, sig(e.InUse.Spread, 1), sig(float64(d.Use), 3), sig(d.Volume.Millilitres(), 4)),
		fmt.Sprintf("Capacity %s mM per pH, ionic strength %s mM, dpH/dT %+.3f per °C.", sig(1e3*e.InUse.Capacity, 2), sig(1e3*e.InUse.Strength, 3), e.InUse.DPHDT),
	}
	if d.Bench != d.Use {
		lines = append(lines, fmt.Sprintf("At the bench, %s °C, the meter shows pH %.2f.", sig(float64(d.Bench), 3), e.AtBench.PH))
	}
	lines = append(lines, verdictOf(d, e)...)
	_, err := io.WriteString(w, p.bullets(lines))
	return err
}

// verdictOf compares with the target, if there is one.
func verdictOf(d recipe.Demand, e *recipe.Exam) []string {
	switch {
	case math.IsNaN(e.Off):
		return nil
	case math.Abs(e.Off) <= d.Tolerance:
		return []string{fmt.Sprintf("The target of %s ± %s is met, %+.2f off.", ph2(d.PH), sig(d.Tolerance, 2), e.Off)}
	case e.FixErr != nil:
		return []string{fmt.Sprintf("The target of %s is missed by %+.2f, and no %s brings it there: %s.", ph2(d.PH), e.Off, d.Acid, plain(e.FixErr))}
	}
	s := fmt.Sprintf("The target of %s ± %s is missed by %+.2f: %s mmol of %s more would bring it there.", ph2(d.PH), sig(d.Tolerance, 2), e.Off, sig(e.Fix.Millimoles(), 3), e.FixWith.Name)
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
