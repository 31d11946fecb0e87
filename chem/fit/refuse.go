package fit

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Refusal is why a curve is not fitted, in words for a person.
type Refusal struct{ Why string }

// Error gives the reason.
func (r *Refusal) Error() string { return "fit: " + r.Why }

// ErrFewPoints is returned when a curve has too few points for a fit.
var ErrFewPoints = errors.New("too few points for a fit")

// Figures of judgement, a choice of this project.
const (
	leastSpan = 0.5  // pH that a curve has to move
	oneWay    = 0.75 // of all movement that has to go one way
	mostLeft  = 0.25 // pH that may be left over
)

// plausible refuses what cannot be the curve of a titration with acid or base.
func plausible(points []Point, o Options) error {
	if len(points) < fewest {
		return fmt.Errorf("fit: %w: %d of at least %d volumes", ErrFewPoints, len(points), fewest)
	}
	first, last, moved := smooth(points)
	span := math.Abs(last - first)
	switch {
	case span < leastSpan:
		return &Refusal{fmt.Sprintf("the pH moves by only %.2f over all volumes: that shows no acid or base", span)}
	case span < oneWay*moved:
		return &Refusal{fmt.Sprintf("the pH goes up and down with the volume (%.1f in all, %.1f from first to last): that is not a titration with one acid or base", moved, span)}
	case o.Acid && last > first:
		return &Refusal{"the pH rises, but the titrant is given as an acid"}
	case o.Base && last < first:
		return &Refusal{"the pH falls, but the titrant is given as a base"}
	}
	return nil
}

// courseOf is how many points tell the course of a curve: of more, the noise of each would
// add up to a movement of its own.
const courseOf = 100

// smooth is where the pH begins and ends, and all of its movement, as medians of
// five in a row have it; of more than courseOf points as medians of as many as make that.
func smooth(points []Point) (first, last, moved float64) {
	var m []float64
	step := max(1, len(points)/courseOf)
	for i := step / 2; i < len(points); i += step {
		var v []float64
		for k := max(i-max(2, step/2), 0); k <= min(i+max(2, step/2), len(points)-1); k++ {
			v = append(v, points[k].PH)
		}
		slices.Sort(v)
		m = append(m, v[len(v)/2])
	}
	for i := 1; i < len(m); i++ {
		moved += math.Abs(m[i] - m[i-1])
	}
	return m[0], m[len(m)-1], moved
}

// sensible refuses a fit that says nothing, with the reason.
func (r *Result) sensible(strengthGiven bool) error {
	wanting := " (given the strength of the titrant, more can be told)"
	if strengthGiven {
		wanting = ""
	}
	switch {
	case !finite(r.Left) || !finite(r.Molar.Value):
		return &Refusal{"the fit gives no numbers"}
	case r.Left > mostLeft:
		return &Refusal{fmt.Sprintf("the residual is %.2f pH: the points do not follow the curve of a few acids (not pH, gas exchange, precipitate, readings that were not at rest?)", r.Left)}
	case math.Abs(r.Shift.Value) >= farthest: // where the search is held
		return &Refusal{fmt.Sprintf("the pH would have to be off by more than %.1f: that is not a pH meter, or the strength or the sample volume is wrong", farthest)}
	}
	if len(r.Ends) > 0 {
		return nil
	}
	for _, s := range r.Sites {
		if s.ML.Told() && s.PK.SD < 1 {
			return nil
		}
	}
	return &Refusal{"neither an equivalence point nor an acid shows: every spread exceeds its value" + wanting}
}
