package table

import (
	"slices"
	"strings"

	"example.org/halfdrop/chem"
)

// Supplies is the one acid–base system of a reagent and how many of it a mole brings;
// false where it brings none, several, or a metal ion that complexes take up.
func (r Reagent) Supplies() (s *chem.System, units int, ok bool) {
	for _, p := range r.Parts {
		if p.System == nil {
			continue
		}
		if KindOf(p.System.Name) == Metal || s != nil && s.Name != p.System.Name {
			return nil, 0, false
		}
		s, units = p.System, units+p.Count
	}
	return s, units, s != nil
}

// Seldom reports whether few laboratories have the jar, though it is a reagent of the bench.
func (r Reagent) Seldom() bool { return strings.HasPrefix(r.Note, "seldom in stock") }

// SystemNames are those of the acid–base systems in it, sorted, each once.
func (r Reagent) SystemNames() (out []string) {
	for _, p := range r.Parts {
		if p.System != nil {
			out = append(out, p.System.Name)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// SameSystems reports whether two reagents bring the same systems, at least one.
func (r Reagent) SameSystems(other Reagent) bool {
	mine := r.SystemNames()
	return len(mine) > 0 && slices.Equal(mine, other.SystemNames())
}

// Spectators is the charge of the ions in a mole that are of no acid or base.
func (r Reagent) Spectators() (charge int) {
	for _, p := range r.Parts {
		if p.System == nil {
			charge += p.Ion.Charge * p.Count
		}
	}
	return charge
}

// SpectatorsEach is Spectators for each mole of its systems: the more, the more protons
// have been taken from it. It tells the forms of one substance apart.
func (r Reagent) SpectatorsEach() float64 {
	n := 0
	for _, p := range r.Parts {
		if p.System != nil {
			n += p.Count
		}
	}
	return float64(r.Spectators()) / float64(max(n, 1))
}

// StrongBase reports whether it is a base without a system: a hydroxide.
func (r Reagent) StrongBase() bool { return len(r.SystemNames()) == 0 && r.Spectators() > 0 }

// Alkaline reports whether it works as a base when a pH is set with it: it brings a metal
// ion, or a system that is a cation with all its protons on, as ammonia.
func (r Reagent) Alkaline() bool {
	return r.Cations() != "" || slices.ContainsFunc(r.Parts, func(p Part) bool { return p.System != nil && p.System.Charge > 0 })
}

// Cations are the spectator ions of positive charge that it brings, "K+ Na+"; "" for none.
func (r Reagent) Cations() string {
	var out []string
	for _, p := range r.Parts {
		if p.System == nil && p.Ion.Charge > 0 {
			out = append(out, p.Ion.Name)
		}
	}
	slices.Sort(out)
	return strings.Join(out, " ")
}
