package probe

import "math"

// Figures of judgement of a reading that goes on moving, a choice of this project.
const (
	driftSpan = 12.0 // s of the latest readings
	driftFew  = 4    // of them at the least, however long that takes
	driftSure = 2.0  // standard errors of their slope
)

// lately is the latest readings with one more.
func lately(list []obs, o obs) []obs {
	i := 0
	for i < len(list)-driftFew+1 && list[i].t < o.t-driftSpan {
		i++
	}
	out := make([]obs, 0, len(list)-i+1)
	return append(append(out, list[i:]...), o)
}

// drift is by how much the latest readings move for sure, pH a second: the slope of a line
// through them less what noise alone may do. Whatever is thought of the electrode, a
// reading that goes on moving is not at rest.
func (k *Tracker) drift() float64 {
	if len(k.recent) < driftFew {
		return 0
	}
	slope, se := k.slope(k.recent)
	return math.Max(0, math.Abs(slope)-driftSure*se)
}

// slope is that of a line through readings, pH a second, with its standard error: by
// what they scatter about it, and by what the last digit hides.
func (k *Tracker) slope(list []obs) (slope, se float64) {
	slope, norm, rest := line(list)
	return slope, math.Sqrt((rest/float64(len(list)-2) + k.resolution*k.resolution/12) / norm)
}

// line is the slope of a line through readings, with the sums of squares of their times
// about the mean and of what they lie off it.
func line(list []obs) (slope, norm, rest float64) {
	n, t, y := float64(len(list)), 0.0, 0.0
	for _, o := range list {
		t, y = t+o.t/n, y+o.y/n
	}
	up := 0.0
	for _, o := range list {
		up, norm = up+(o.t-t)*(o.y-y), norm+(o.t-t)*(o.t-t)
	}
	slope = up / norm
	for _, o := range list {
		off := o.y - y - slope*(o.t-t)
		rest += off * off
	}
	return slope, norm, rest
}
