package probe

import "math"

// Figures of judgement of a reading that goes on moving, a choice of this project.
const (
	driftSpan = 12.0 // s of the latest readings
	driftFew  = 4    // of them at the least, however long that takes
	driftSure = 2.0  // standard errors of their slope
)

// mostSpans are the times, s, over which a slope is looked for that is small for sure: over
// the shortest the way that an electrode has just gone does not count any more, over the
// longest noise and last digit hide least.
var mostSpans = [...]float64{driftSpan, 20, 30, 60}

// lately is the latest readings with one more.
func lately(list []obs, o obs) []obs {
	list = within(list, o.t, mostSpans[len(mostSpans)-1], driftFew-1)
	out := make([]obs, 0, len(list)+1)
	return append(append(out, list...), o)
}

// within are those of the last seconds before t, and few at the least.
func within(list []obs, t, span float64, few int) []obs {
	i := 0
	for i < len(list)-few && list[i].t < t-span {
		i++
	}
	return list[i:]
}

// drift is by how much the latest readings move for sure, pH a second: the slope of a line
// through them less what noise alone may do. Whatever is thought of the electrode, a
// reading that goes on moving is not at rest.
func (k *Tracker) drift() float64 {
	if len(k.recent) < driftFew {
		return 0
	}
	slope, se := k.slope(within(k.recent, k.latestAt(), driftSpan, driftFew))
	return math.Max(0, math.Abs(slope)-driftSure*se)
}

// creep is by how much the latest readings may move still, pH a second: the slope of a line
// through them and its standard error, over that time of several which tells best. That no
// movement is seen is not enough to call a reading at rest; infinite before there are enough.
func (k *Tracker) creep() float64 {
	least := math.Inf(1)
	if len(k.recent) < driftFew {
		return least
	}
	from := k.recent[len(k.recent)-1]
	var n, st, sy, tt, ty, yy float64 // sums, of times and readings beside the latest
	tell := func() {
		norm, up := tt-st*st/n, ty-st*sy/n
		rest := math.Max(yy-sy*sy/n-up*up/norm, 0)
		se := math.Sqrt((rest/(n-2) + k.resolution*k.resolution/12) / norm)
		least = math.Min(least, math.Abs(up/norm)+se)
	}
	spans := mostSpans[:]
	for i := len(k.recent) - 1; i >= 0; i-- {
		t, y := k.recent[i].t-from.t, k.recent[i].y-from.y
		for len(spans) > 0 && n >= driftFew && -t > spans[0] {
			tell()
			spans = spans[1:]
		}
		if len(spans) == 0 {
			return least
		}
		n, st, sy, tt, ty, yy = n+1, st+t, sy+y, tt+t*t, ty+t*y, yy+y*y
	}
	tell()
	return least
}

// latestAt is when the latest reading that counts came, s.
func (k *Tracker) latestAt() float64 { return k.recent[len(k.recent)-1].t }

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
