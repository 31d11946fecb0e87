package recipe

import (
	"fmt"
	"slices"

	"example.org/halfdrop/chem/table"
)

// gas is the system whose uncharged form leaves an acid solution that boils.
const gas = "carbonate"

// boiled is a reagent as the beaker holds it: without carbonate where its carbon
// dioxide was boiled out, which leaves the base that it was bound to.
func (p *Plan) boiled(r table.Reagent) table.Reagent {
	if p.Find == nil || !p.Find.Boiled {
		return r
	}
	r.Parts = slices.DeleteFunc(slices.Clone(r.Parts), func(x table.Part) bool { return x.System != nil && x.System.Name == gas })
	return r
}

// boilsAbove is the pH from which on a solution keeps a part of its carbonate when it
// is boiled: two below the first pK of carbonic acid, 6.35 (a choice).
const boilsAbove = 4.4

// boils checks that what is said to have been boiled out could be.
func (s *Setup) boils(start float64, bad *Problems) {
	if !s.Plan.Find.Boiled {
		return
	}
	if !(start < boilsAbove) {
		bad.Add("find.boiled", fmt.Sprintf("the beaker would start at pH %.1f: carbon dioxide boils out only of an acid solution", start),
			"name the excess of acid under [[weighed]] as well, and boil after adding it; or leave boiled out")
	}
}
