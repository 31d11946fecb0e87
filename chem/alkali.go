package chem

import "slices"

// alkali are the strong ions that some ligands bind, as sodium is by EDTA. A model that
// holds such a ligand holds them among its systems, and not as charge that stays.
var alkali = []*System{
	{Name: "Na+", Charge: 1, Forms: []Form{{Name: "Na+", Ion: "Na"}}},
	{Name: "K+", Charge: 1, Forms: []Form{{Name: "K+", Ion: "K"}}},
}

// Binds reports whether a strong ion may stand in the place of the metal of a Complex: "Na+".
func Binds(ion string) bool {
	return slices.ContainsFunc(alkali, func(s *System) bool { return s.Name == ion })
}

// withAlkali are systems with the strong ions that they bind, as far as there is room.
func withAlkali(list []*System) []*System {
	out := list
	for _, a := range alkali {
		binds := slices.ContainsFunc(list, func(s *System) bool {
			return slices.ContainsFunc(s.Complexes, func(x Complex) bool { return x.Metal == a.Name })
		})
		if binds && len(out) < MaxSystems && !slices.ContainsFunc(out, func(s *System) bool { return s.Name == a.Name }) {
			out = append(slices.Clip(out), a)
		}
	}
	return out
}

// alkaliAt is where the model holds a strong ion among its systems; below zero where it
// counts as charge that stays.
func (m *Model) alkaliAt(ion string) int {
	for _, i := range m.alkali {
		if m.sys[i].Name == ion {
			return int(i)
		}
	}
	return -1
}

// firstStrength is about the ionic strength of a composition, mol/kg: that of its strong
// ions and of what balances them.
func (m *Model) firstStrength(c *Composition) float64 {
	s, q := c.Strength, c.Charge
	for _, i := range m.alkali {
		s += c.Totals[i]
		q += c.Totals[i]
	}
	if q < 0 {
		q = -q
	}
	return 0.5 * (s + q) / c.Water
}
