package coach

import "example.org/halfdrop/chem"

// room is the volume left under the mark.
func (b *Bench) room(adds []Addition) chem.Volume {
	v := b.Start
	for _, a := range adds {
		v += a.Volume
	}
	return max(0, b.Final-v)
}

// isWayBack reports whether going in direction dir undoes the last addition, which went past an
// aim: with the bottle that was taken by mistake it is the same, and was never past.
func isWayBack(b *Bench, h *History, aim, dir float64) bool {
	n := len(h.Additions)
	if n == 0 || b.Pull(h.Additions[n-1].Stock) == dir {
		return false
	}
	for _, o := range h.Observations {
		if (o.PH-aim)*dir > 0 {
			return true
		}
	}
	return len(h.Observations) == 0 // nobody knows where it was before
}
