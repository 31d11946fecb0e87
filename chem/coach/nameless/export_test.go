package nameless

import "example.org/halfdrop/chem"

// LandingOf is where the account without a name expects what leads it to a pH to land: of a
// beaker that has taken so many times from 3.4 to 3.5 what its plan says, which buffers up to
// pH 5.
func LandingOf(times, to float64) float64 {
	c := CapacityOf(func(ph chem.PH) float64 {
		if ph < 5 {
			return 1e-2
		}
		return 1e-5
	})
	n := New(7, c, LikePlan)
	way := n.comp.integral(3.4, 3.5)
	n.Now = Reading{PH: 3.5, SD: 0.001}
	n.spans = []span{{from: 3.4, to: 3.5, charge: times * way, way: way, err: 1e-6, scatter: 0.01}}
	n.solve()
	charge, _ := n.Ahead(chem.PH(to), 0)
	after, _, _ := n.Landing(charge, 0)
	return after
}
