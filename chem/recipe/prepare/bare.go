package prepare

import (
	"fmt"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
)

// bare is the plan without titrants.
func bare(d *buffer.Demand, r Recipe, start chem.Volume) recipe.Plan {
	p := recipe.Plan{Name: title(d)}
	ph, tol, use := d.PH, d.Tolerance, float64(d.Use)
	bench, s, f := float64(d.Bench), chem.Rounded(start.Millilitres(), 4), chem.Rounded(d.Volume.Millilitres(), 5)
	p.Target = recipe.Target{PH: &ph, Tolerance: &tol, UseTempC: &use}
	if d.Times > 1 {
		times := d.Times
		p.Target.Dilute = &times
	}
	p.Beaker = recipe.Beaker{StartML: &s, FinalML: &f, TempC: &bench}
	for _, m := range r.Measures {
		p.Weighed = append(p.Weighed, m.weighed())
	}
	return p
}

// title is "HEPES 25 mM pH 7.40 at 37 °C".
func title(d *buffer.Demand) string {
	s := fmt.Sprintf("%s %s mM pH %s at %s °C", d.Buffer, chem.Digits(1e3*float64(d.Molar), 3), phText(d.PH), chem.Digits(float64(d.Use), 3))
	if d.Times > 1 {
		s += fmt.Sprintf(", %s-fold stock", chem.Digits(d.Times, 3))
	}
	if len(d.With) > 0 {
		s += ", with " + withList(d)
	}
	return s
}

// withList are the further components of a title, in use.
func withList(d *buffer.Demand) string {
	var out []string
	for _, x := range d.With {
		out = append(out, asked(d, x))
	}
	return strings.Join(out, ", ")
}

// asked is an ingredient with its strength in use: "sodium chloride 150 mM".
func asked(d *buffer.Demand, x buffer.Ingredient) string {
	name := x.Name
	if x.Share != "" {
		return name + " " + x.Share
	}
	if !x.Reagent.Definite() {
		return fmt.Sprintf("%s %s g/L", name, chem.Digits(float64(x.Amount)/d.InUse().Litres(), 3))
	}
	c := float64(x.Amount.In(d.InUse()))
	switch {
	case c >= 1:
		return fmt.Sprintf("%s %s M", name, chem.Digits(c, 3))
	case c < 1e-4:
		return fmt.Sprintf("%s %s µM", name, chem.Digits(1e6*c, 3))
	}
	return fmt.Sprintf("%s %s mM", name, chem.Digits(1e3*c, 3))
}

// phText shows at least two decimals.
func phText(ph float64) string {
	s := fmt.Sprintf("%.3f", ph)
	return strings.TrimSuffix(s, "0")
}

func titrantOf(d *buffer.Demand, c Chosen) recipe.Titrant {
	m := c.Molar
	t := recipe.Titrant{Name: c.Name(), Reagent: buffer.Short(c.Reagent), Molar: &m}
	// The defaults are written down, so that the file says all it rests on.
	ul, sd := recipe.DefaultDropUL, recipe.DefaultDropSDPct
	switch {
	case c.Pipette:
		step, sd := recipe.DefaultStepML, recipe.DefaultPipetteSDPct
		t.By, t.StepML, t.MLSDPct = recipe.Pipette, &step, &sd
	case d.DropUL == nil:
		t.DropUL, t.DropSDPct = &ul, &sd
	case d.DropSDPct == nil:
		sd = recipe.MeasuredDropSDPct
		t.DropUL, t.DropSDPct = d.DropUL, &sd
	default:
		t.DropUL, t.DropSDPct = d.DropUL, d.DropSDPct
	}
	for _, b := range d.Bottles { // a name is that of one bottle, and of one entry
		if c.AtHand && !c.Same && b.Reagent.Name == c.Reagent.Name && float64(b.Molar) == c.Molar {
			t.Bottle = b.Known
		}
	}
	return t
}
