package still

import (
	"math"
	"slices"
)

// Figures of judgement for a reading at rest, a choice of this project.
const (
	flatFor   = 12.0 // s over which a reading is looked at for whether it is at rest
	flatMost  = 60.0 // s, where readings are rare
	flatReads = 3
	flatMove  = 0.01 // pH from the first half of that to the second: 0.1 in a minute
)

// level is a reading of the last seconds.
type level struct{ t, y float64 }

// Recent are the readings of the last seconds. It is a value.
type Recent []level

// Push is with one more, at t, s.
func (r Recent) Push(t, y float64) Recent {
	for len(r) >= flatReads && t-r[0].t > flatFor {
		r = r[1:]
	}
	return append(slices.Clip(r), level{t, y})
}

// Flat reports whether the reading is at rest, by the readings alone.
func (r Recent) Flat() bool {
	n := len(r)
	if n < flatReads {
		return false
	}
	if span := r[n-1].t - r[0].t; span < 0.7*flatFor || span > flatMost {
		return false
	}
	mean := func(list []level) (y float64) {
		for _, x := range list {
			y += x.y / float64(len(list))
		}
		return y
	}
	return math.Abs(mean(r[n/2:])-mean(r[:n/2])) < flatMove
}
