package replay

import "math"

// A reading that has come to rest and then leaves it, with nothing logged.

// Figures of judgement, a choice of this project.
const (
	restBlocks  = 3     // blocks in a row that must agree for a rest
	restSpread  = 0.008 // pH by which they may differ, beside the noise
	leastWander = 0.03  // pH, least move that is looked into
	stepSpan    = 150.0 // s: a move that is mostly made within this is a step; a hundred drops take as long
	stepShare   = 0.7
	latePart    = 0.12 // of the way to a composition: what may still be on its way at rest (a tenth was measured, of an ISFET)
	asRestful   = 1.5  // spans of a rest that any stretch of a late part keeps within
)

// wander is a move within one composition.
type wander struct {
	t        float64 // s, when it began
	from, to float64 // pH
	how      moved
	rest     int // block with which it had come to rest
}

// wanders finds the move of a segment away from its first rest after a time, s.
func (s *segment) wanders(after, tolerance, noise float64) (wander, bool) {
	rest := -1
	for i := restBlocks - 1; i < len(s.blocks); i++ {
		if s.blocks[i-restBlocks+1].t < after {
			continue
		}
		if s.spans(i) <= s.restful(i, noise) {
			rest = i
			break
		}
	}
	if rest < 0 || rest+2 >= len(s.blocks) {
		return wander{}, false
	}
	n := len(s.blocks)
	w := wander{rest: rest, from: s.blocks[rest].y, to: (s.blocks[n-1].y + s.blocks[n-2].y) / 2}
	total := w.to - w.from
	if math.Abs(total) < math.Max(math.Max(leastWander, 1.5*tolerance), 5*noise) {
		return wander{}, false
	}
	// How much of it happened at once, and when it had begun.
	most, begin, dir := 0.0, rest, math.Copysign(1, total)
	for i := rest; i < n; i++ {
		if dir*(s.blocks[i].y-w.from) < 0.1*math.Abs(total) {
			begin = i
		}
		for j := i + 1; j < n && s.blocks[j].t-s.blocks[i].t <= stepSpan; j++ {
			most = math.Max(most, dir*(s.blocks[j].y-s.blocks[i].y))
		}
	}
	w.t = s.blocks[begin].t + blockSpan/2
	w.from, w.how = s.blocks[begin].y, drifted
	if most >= stepShare*math.Abs(total) {
		w.how = stepped
	}
	return w, true
}

// late reports whether a move away from a rest is the late part of the way that the reading
// came before, from a pH: it goes on in that direction, by a small part of it, and nowhere
// faster than a rest may. What is still to come of it is in the estimate of the end.
func (s *segment) late(w wander, came, noise float64) bool {
	way, more := w.to-came, w.to-s.blocks[w.rest].y
	if way*more <= 0 || math.Abs(more) > latePart*math.Abs(way) {
		return false
	}
	for i := w.rest + 1; i < len(s.blocks); i++ {
		if s.spans(i) > asRestful*s.restful(i, noise) {
			return false
		}
	}
	return true
}

// spans is by how much the blocks up to one differ, as many as a rest has.
func (s *segment) spans(i int) float64 {
	low, high := span(s.blocks[i-restBlocks+1 : i+1])
	return high - low
}

// restful is by how much they may differ at rest.
func (s *segment) restful(i int, noise float64) float64 {
	return restSpread + 3*noise/math.Sqrt(float64(max(s.blocks[i].n, 1)))
}

func span(b []block) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, x := range b {
		low, high = math.Min(low, x.y), math.Max(high, x.y)
	}
	return low, high
}
