package coach

import "math"

// landing is the settled reading to expect after a labelled charge, with its
// central 95 %.
func (n *nameless) landing(charge float64, stock int) (after, low, high float64) {
	far := n.now.PH + math.Copysign(farthest, charge)
	_, lnSD := n.ahead(n.now.PH+math.Copysign(0.5, charge), stock)
	reach := func(charge float64) float64 {
		// Outwards, to the first pH that takes so much: further off, where little is known of
		// the capacity, less may seem to.
		near, far := n.now.PH, far
		for way := reachFirst; way < farthest; way *= reachOn {
			to := n.now.PH + math.Copysign(way, charge)
			if got, _ := n.ahead(to, stock); math.Abs(got) >= math.Abs(charge) {
				far = to
				break
			}
			near = to
		}
		for range 14 {
			mid := (near + far) / 2
			if got, _ := n.ahead(mid, stock); math.Abs(got) < math.Abs(charge) {
				near = mid
			} else {
				far = mid
			}
		}
		return near
	}
	spread := math.Exp(1.96 * lnSD)
	after, low, high = reach(charge), reach(charge/spread), reach(charge*spread)
	sd := 1.96 * n.now.SD
	return after, math.Min(low, high) - sd, math.Max(low, high) + sd
}

// Figures of the numerics: how far, pH, a landing is looked for at first, each time further by so much, and at the most.
const (
	reachFirst = 0.05
	reachOn    = 1.25
	farthest   = 6.0
)
