package prepare

import (
	"slices"

	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/table"
)

// Strangers are the ions that the two forms of a recipe bring though another acid or base was
// asked for: sodium where it is KOH, chloride where it is acetic acid.
func (r *Recipe) Strangers(d buffer.Demand) (out []string) {
	if r.Way != buffer.BySalts {
		return nil
	}
	acid, errA := table.ByAmount(d.Acid)
	base, errB := table.ByAmount(d.Base)
	for _, m := range r.Measures[:min(2, len(r.Measures))] {
		for _, p := range m.Reagent.Parts {
			other := p.System == nil && p.Ion.Charge > 0 && d.Base != "" && errB == nil && base.Cations() != p.Ion.Name ||
				p.System == nil && p.Ion.Charge < 0 && d.Acid != "" && errA == nil && !slices.ContainsFunc(acid.Parts, func(q table.Part) bool { return q.Ion == p.Ion })
			if other && !slices.Contains(out, p.Ion.Name) {
				out = append(out, p.Ion.Name)
			}
		}
	}
	return out
}
