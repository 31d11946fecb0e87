package buffer

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
)

// Form is a substance that supplies one acid–base system in one state of
// protonation, in all its hydrates.
type Form struct {
	table.Reagent                 // the one to weigh
	Hydrates      []table.Reagent // the others that supply the same
	Units         int             // mol of the system per mol
	Definite      bool            // the hydrate is known: there is one, or the cupboard was named
	AtHand        bool            // it is in the cupboard
}

// named resolves the name of a buffer to its system, and to the reagents it
// may stand for when it names a substance rather than a system.
func named(name string) (*chem.System, []table.Reagent, error) {
	if s, err := table.System(name); err == nil {
		if jar, ok := table.Taken(name); ok { // what is called so in a laboratory is one jar
			if list, err := table.Find(jar); err == nil {
				return s, list, nil
			}
		}
		return s, nil, nil
	}
	list, err := table.Find(name)
	if reagent, _, ok := table.Brought(name); err != nil && ok && reagent != name { // "HEPES-KOH"
		return named(reagent)
	}
	if m := asMixture(name); err != nil && m != nil {
		return nil, nil, m
	}
	if err != nil {
		return nil, nil, err
	}
	s, _, ok := list[0].Supplies()
	if !ok {
		names, hint := list[0].SystemNames(), "name an acid or a base"
		if len(names) > 1 {
			hint = fmt.Sprintf("name the one that is to hold the pH: %s; what %s gives as it is, the examination of a recipe says", strings.Join(names, " or "), list[0].Name)
		}
		return nil, nil, &recipe.FieldError{What: fmt.Sprintf("%s is not a buffer by itself: it supplies %s", list[0].Name, cmp.Or(strings.Join(names, " and "), "no acid or base that buffers")), Hint: hint}
	}
	return s, list, nil
}

// formsOf are the forms of a system. Those in the cupboard are put in front
// and, where one form is enough, are the only ones when there are any.
func formsOf(s *chem.System, cupboard []table.Reagent, one bool) []Form {
	var out []Form
	for _, r := range table.Reagents() {
		sys, units, ok := r.Supplies()
		if !ok || sys.Name != s.Name {
			continue
		}
		if i := slices.IndexFunc(out, func(f Form) bool { return slices.Equal(f.Parts, r.Parts) }); i >= 0 {
			if out[i].By == table.Memory && r.By == table.Seen {
				out[i].Reagent, r = r, out[i].Reagent // the jar that is usually at hand comes first
			}
			out[i].Hydrates = append(out[i].Hydrates, r)
			continue
		}
		out = append(out, Form{Reagent: r, Units: units})
	}
	for i := range out {
		out[i].Definite = len(out[i].Hydrates) == 0
	}
	have, others := fromCupboard(out, cupboard)
	if one && len(have) > 0 {
		return have
	}
	return append(have, others...)
}

func fromCupboard(forms []Form, cupboard []table.Reagent) (have, others []Form) {
	for _, f := range forms {
		var mine []table.Reagent
		for _, c := range cupboard {
			if slices.Equal(c.Parts, f.Parts) {
				mine = append(mine, c)
			}
		}
		if len(mine) == 0 {
			others = append(others, f)
			continue
		}
		f.AtHand = true
		all := append([]table.Reagent{f.Reagent}, f.Hydrates...)
		f.Reagent, f.Definite = mine[0], len(mine) == 1
		f.Hydrates = slices.DeleteFunc(all, func(r table.Reagent) bool { return r.Formula == mine[0].Formula })
		have = append(have, f)
	}
	return have, others
}

// cupboard are the reagents that the demand says are there. The name of a
// buffer that is a substance counts as one of them.
func (d *Demand) cupboard() ([]table.Reagent, error) {
	var out []table.Reagent
	for _, name := range d.Have {
		list, err := table.Find(name)
		if err != nil {
			return nil, err
		}
		out = append(out, list...)
	}
	for _, b := range d.Bottles {
		if _, _, ok := b.Reagent.Supplies(); ok {
			out = append(out, b.Reagent)
		}
	}
	return out, nil
}

// formsFor are the forms a demand allows for a system; first are those of the
// cupboard, then those that the name of the buffer stands for.
func (d *Demand) FormsFor(s *chem.System) ([]Form, error) {
	have, err := d.cupboard()
	if err != nil {
		return nil, err
	}
	if d.Buffer != "" {
		sys, list, err := named(d.Buffer)
		if err != nil {
			return nil, err
		}
		if sys.Name == s.Name && len(list) > 0 && d.Way == ByTitrant {
			mine := slices.DeleteFunc(slices.Clone(have), func(r table.Reagent) bool {
				return !slices.ContainsFunc(list, func(l table.Reagent) bool { return l.Formula == r.Formula && l.Name == r.Name })
			})
			if len(mine) == 0 {
				mine = list
			}
			have = mine
		}
	}
	return formsOf(s, have, d.Way == ByTitrant), nil
}

// Usual reports whether the jar is in the list of bench reagents and not seldom at hand;
// the others are in the table for completeness.
func (f Form) Usual() bool { return f.AtHand || f.By == table.Seen && !f.Seldom() }

// content is what an amount of the system in this form brings, without water.
func (f Form) content(n chem.Amount) chem.Solution {
	return f.Dissolved(chem.Amount(float64(n) / float64(f.Units)))
}

// ErrNoPair says that no two forms in the tables bracket the target.
var ErrNoPair = errors.New("no two forms of it lie on both sides of that pH")

// foreign reports whether a form brings another metal ion than the base that
// is wanted: sodium where it is KOH.
func (d *Demand) foreign(f Form) bool {
	name := d.Base
	if name == "" {
		name = "NaOH"
	}
	base, err := table.ByAmount(name)
	if err != nil {
		return false
	}
	own := Form{Reagent: base}.Cations()
	return own != "" && f.Cations() != "" && f.Cations() != own
}

// baseFor is the hydroxide of the cation that a form brings, so that no other
// ion gets in, unless a base was asked for.
func (d *Demand) BaseFor(f Form, base table.Reagent) table.Reagent {
	if d.Base == "" && f.Cations() == "K+" {
		if koh, err := table.ByAmount("KOH"); err == nil {
			return koh
		}
	}
	return base
}
