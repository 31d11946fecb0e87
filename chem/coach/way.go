package coach

// room is the volume left under the mark, L.
func (b *Bench) room(adds []Addition) float64 {
	v := b.Start
	for _, a := range adds {
		v += a.Volume
	}
	return max(0, (b.Final - v).Litres())
}

// isWayBack reports whether going in direction dir undoes the last addition.
func isWayBack(b *Bench, adds []Addition, dir float64) bool {
	if len(adds) == 0 {
		return false
	}
	return b.pull(adds[len(adds)-1].Stock) != dir
}

// pull is the direction in which a stock as labelled moves the pH near the target.
func (b *Bench) pull(stock int) float64 {
	q := b.LabelledCharge(Addition{Stock: stock, Volume: 1})
	return sign(q)
}
