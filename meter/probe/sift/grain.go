package sift

import "math"

// Grain is the step in which a meter shows its values, which may be coarser than their
// last digit: a converter of ten bits goes on by 0.01 to 0.02 pH and prints three decimals.
// It is a value; the zero one has seen nothing.
type Grain struct {
	last  float64
	went  float64 // the latest change
	any   bool
	least float64 // the smallest change between two readings
	alike int     // changes as large as that, give or take a digit
	other int     // and larger ones
	turns int     // of those alike, the ones that went back: a way goes on in equal steps, too
}

// Figures of judgement, a choice of this project.
const (
	grainAlike = 6    // changes by one step that show it
	grainTurns = 3    // of them that went back
	grainPart  = 0.5  // of all changes, at least: noise has changes of all sizes
	grainFirst = 4    // changes of any size, of which the smallest says how fine a meter may be
	grainMost  = 0.05 // pH: no meter for this work is so coarse
)

// Push takes a reading with its last digit, pH.
func (g Grain) Push(y, digit float64) Grain {
	d := math.Abs(y - g.last)
	if !g.any || d < digit/2 {
		g.last, g.any = y, true
		return g
	}
	back := (y-g.last)*g.went < 0
	g.went, g.last = y-g.last, y
	switch slack := 1.5 * digit; {
	case g.least == 0 || d < g.least-slack:
		g.least, g.alike, g.other, g.turns = d, 1, g.other+g.alike, 0
	case d <= g.least+slack:
		g.alike, g.least = g.alike+1, math.Min(g.least, d)
		if back {
			g.turns++
		}
	default:
		g.other++
	}
	return g
}

// Least is the smallest change between two readings so far, pH: finer than the step of the
// meter it is not. 0 before so many changes that it tells, and where it is no step.
func (g Grain) Least() float64 {
	if g.alike+g.other < grainFirst || g.turns == 0 || g.least > grainMost {
		return 0
	}
	return g.least
}

// Step is the step that the readings show, pH, at least their last digit.
func (g Grain) Step(digit float64) float64 {
	if g.alike < grainAlike || g.turns < grainTurns || float64(g.alike) < grainPart*float64(g.alike+g.other) || g.least > grainMost {
		return digit
	}
	return math.Max(digit, g.least)
}
