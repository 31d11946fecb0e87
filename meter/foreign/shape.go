package foreign

import (
	"math"
	"slices"

	"example.org/halfdrop/meter/foreign/grid"
)

// Columns without a name, or with one that says nothing, are told by their values,
// where these leave one answer only.

// shape is what the values of a column allow.
type shape struct {
	ph, mv, rises, even, fromZero bool
}

func shapeOf(v []float64) (s shape, ok bool) {
	v = slices.DeleteFunc(slices.Clone(v), math.IsNaN)
	if len(v) < grid.LeastRows {
		return shape{}, false
	}
	low, high := slices.Min(v), slices.Max(v)
	s = shape{rises: high > low, even: true, fromZero: v[0] == 0}
	var steps []float64
	for i := 1; i < len(v); i++ {
		steps = append(steps, v[i]-v[i-1])
		s.rises = s.rises && v[i] >= v[i-1]
	}
	mid := slices.Sorted(slices.Values(steps))[len(steps)/2]
	for _, d := range steps {
		s.even = s.even && d > 0 && math.Abs(d-mid) < 0.02*math.Abs(mid)
	}
	s.ph = low >= -1 && high <= 15 && !(s.rises && s.fromZero)
	s.mv = low < -20 && low > -700 && high < 700
	return s, true
}

// byShape takes nameless columns for what they can be. Two that can be the same,
// or one that can be two things, are a question.
func (r *reader) byShape() error {
	var rising, ph, mv []int
	shapes := map[int]shape{}
	for at := range r.columns {
		if r.taken(at) || r.named[at] || at == r.dates {
			continue
		}
		s, ok := shapeOf(r.t.Values(at))
		if n, _ := r.t.Filled(at); !ok || 2*n < len(r.t.Rows) {
			continue
		}
		shapes[at] = s
		switch {
		case s.rises && (s.fromZero || s.even && !s.ph):
			rising = append(rising, at)
		case s.ph:
			ph = append(ph, at)
		case s.mv:
			mv = append(mv, at)
		}
	}
	if r.free("ph") && !r.has("mv") {
		switch {
		case len(ph) == 1:
			r.use("ph", ph[0], "by its values")
		case len(ph) > 1:
			return &Question{Flag: "--ph", What: "no name says which column is the pH, and several may be", Choices: r.names(ph)}
		case len(mv) == 1 && r.free("mv"):
			r.use("mv", mv[0], "by its values")
		}
	}
	if !r.has("ph") && !r.has("mv") {
		return nil // which is asked for
	}
	return r.rising(rising, shapes)
}

// rising takes a nameless column that only rises: a volume from nothing in uneven
// steps. Even steps are those of a clock as well.
func (r *reader) rising(list []int, shapes map[int]shape) error {
	switch volume, time := r.free("volume") && r.free("drops"), r.free("time"); {
	case len(list) == 0 || !volume && !time:
	case len(list) == 1 && !time:
		r.use("volume", list[0], "by its values")
	case len(list) == 1 && !volume:
		r.use("time", list[0], "by its values")
	case len(list) == 1 && shapes[list[0]].fromZero && !shapes[list[0]].even:
		r.use("volume", list[0], "by its values")
	default:
		return &Question{Flag: "--volume", What: "no name says whether this is the volume of titrant or the time (--time)", Choices: r.names(list)}
	}
	return nil
}

func (r *reader) has(q string) bool {
	_, ok := r.of[q]
	return ok
}

// free reports whether a quantity is open: it has no column, and was not said to
// have none.
func (r *reader) free(q string) bool { return !r.has(q) && r.o.Column[q] == "" }
