package fit

import "math"

// Figures of judgement, a choice of this project.
const (
	mostPoints = 400 // about, that a curve is fitted to: of a log that runs on, neighbours say the same
	thinStep   = 0.2 // pH, between the ends of what is put together at most
)

// thin puts neighbouring points together, to their means, until there are about mostPoints; where the
// curve is steep fewer or none, so that its course stays what it was.
func thin(points []Point) []Point {
	share := len(points) / mostPoints
	if share < 2 {
		return points
	}
	var out []Point
	for i := 0; i < len(points); {
		n, ml, ph := 0, 0.0, 0.0
		for k := i; k < len(points) && n < share && math.Abs(points[k].PH-points[i].PH) <= thinStep; k++ {
			ml, ph = ml+points[k].ML, ph+points[k].PH
			n++
		}
		out = append(out, Point{ML: ml / float64(n), PH: ph / float64(n)})
		i += n
	}
	return out
}
