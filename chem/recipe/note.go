package recipe

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/table"
)

// remarks are what the trade knows of single buffers. Those of Tris and
// phosphate were read in teaching pages, the others are from memory.
var remarks = map[string]string{
	"Tris":      "Tris: some electrodes with a ceramic plug read it wrongly or slowly; it takes up carbon dioxide",
	"PIPES":     "PIPES: the free acid hardly dissolves in water and goes in as the base is added (from memory)",
	"POPSO":     "POPSO: the free acid hardly dissolves in water and goes in as the base is added (from memory)",
	"HEPES":     "HEPES: makes peroxide in the light; keep it dark (from memory)",
	"carbonate": "carbonate: an open beaker exchanges carbon dioxide with the air; cover it and be quick (from memory)",
	"phosphate": "phosphate: precipitates calcium and magnesium",
	"borate":    "borate: binds cis-diols such as sugars; read its safety data sheet (from memory)",
	"ammonia":   "ammonia: leaves the open beaker above pH 8; cover it, work in the fume cupboard (from memory)",
}

// notes are remarks on the choice and the recipe.
func (x *Draft) notes(r Recipe) []string {
	var out []string
	d := &x.Demand
	if math.Abs(x.Buffer.Distance) > maxDistance {
		out = append(out, fmt.Sprintf("outside ± 1 of pKa′ %.2f: little capacity is left", x.Buffer.PK))
	}
	for _, m := range x.Buffer.Misfits {
		how := "has"
		if m.Grade == table.Slight {
			how = "has, a little,"
		}
		out = append(out, fmt.Sprintf("%s %s what was to be avoided: %s (%s)", x.Buffer.System.Name, how, m.Words, m.Origin()))
	}
	if s, ok := remarks[x.Buffer.System.Name]; ok {
		out = append(out, s)
	}
	if x.Way == ByTitrant && !x.Base && hasChloride(r.acid) && metal(r.Measures[0].Reagent) {
		out = append(out, fmt.Sprintf("%s leaves %s mmol of chloride besides the metal ion; two salts (--way salts) or another --acid leave less", short(r.acid), digits(x.Amount.Millimoles(), 3)))
	}
	if d.PH > 8 && x.Buffer.System.Name != "carbonate" {
		out = append(out, "above pH 8 an open beaker takes up carbon dioxide and drifts down: boiled or fresh water, and a cover")
	}
	for _, f := range x.InUse.Flags {
		if f.Doubt != chem.NoActivities {
			out = append(out, f.String())
		}
	}
	if s, ok := odd[x.Buffer.System.Name]; ok {
		out = append(out, x.Buffer.System.Name+": "+s+" (common practice, no source)")
	}
	return out
}

func hasChloride(r table.Reagent) bool {
	for _, p := range r.Parts {
		if p.System == nil && p.Ion.Name == "Cl-" {
			return true
		}
	}
	return false
}

// metal reports whether a reagent brings a metal ion.
func metal(r table.Reagent) bool {
	for _, p := range r.Parts {
		if p.System == nil && p.Ion.Charge > 0 {
			return true
		}
	}
	return false
}
