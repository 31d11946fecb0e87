package calib

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
)

// exact is the standard of a point.
func exact(p Point) (Standard, error) {
	for _, s := range Standards(p.Set) {
		if s.Name == p.Standard {
			return s, nil
		}
	}
	return Standard{}, fmt.Errorf("calib: %w: %s %s", ErrNoStandard, p.Set, p.Standard)
}

// alikeShare of the expected span is the least that two standards must differ.
const alikeShare = 1.0 / 6

// findAlike looks for an electrode that does not see the difference.
func findAlike(points []Point) (Finding, bool) {
	list := ordered(points)
	a, b := list[0], list[len(list)-1]
	if math.Abs(between(a, b)) > alikeShare {
		return Finding{}, false
	}
	return Finding{Code: CodeAlike, Level: Stop, Basis: basisAlike,
		Text: fmt.Sprintf("%s and %s read alike, %.1f mV apart: a cracked bulb, a wet or shorted plug, the cap still on, or the electrode not in the beakers",
			a.label(), b.label(), math.Abs(b.potential()-a.potential()))}, true
}

// sound reports whether a line is one that an electrode in the right standards gives.
func sound(f Fit) bool {
	return f.SlopePercent() >= slopeLow && f.SlopePercent() <= slopeHigh &&
		math.Abs(f.Offset) <= offsetStop && f.Residual <= residualStop
}

// findReversed looks for potentials with the wrong sign.
func findReversed(points []Point, f Fit) (Finding, bool) {
	f.Slope = -f.Slope
	if !sound(f) {
		return Finding{}, false
	}
	return Finding{Code: CodeReversed, Level: Stop, Basis: basisSign,
		Text: fmt.Sprintf("the potential rises with pH, by %.1f %% of what it should fall: the meter turns the sign, or plus and minus are exchanged", 100*f.Slope)}, true
}

// findSwapped looks for an order of the standards in which the readings make
// sense, when they do not in the order given.
func findSwapped(points []Point, f Fit) (Finding, bool) {
	if sound(f) || len(points) > 5 {
		return Finding{}, false
	}
	order := make([]int, len(points))
	for i := range order {
		order[i] = i
	}
	best, bestCost := []Point(nil), math.Inf(1)
	permute(order, 0, func(order []int) {
		other, ok := relabelled(points, order)
		if !ok {
			return
		}
		if g, err := FitPoints(other); err == nil && sound(g) && unlikely(g) < bestCost {
			best, bestCost = other, unlikely(g)
		}
	})
	if best == nil {
		return Finding{}, false
	}
	var names []string
	for i, p := range points {
		if p.Standard != best[i].Standard {
			names = append(names, p.label())
		}
	}
	return Finding{Code: CodeSwapped, Level: Stop, Basis: basisOrder,
		Text: strings.Join(names, " and ") + " seem to have been taken for each other: look at the labels and calibrate again"}, true
}

// permute calls f with every order; f must not keep the slice.
func permute(order []int, from int, f func([]int)) {
	if from == len(order) {
		f(order)
		return
	}
	for i := from; i < len(order); i++ {
		order[from], order[i] = order[i], order[from]
		permute(order, from+1, f)
		order[from], order[i] = order[i], order[from]
	}
}

// relabelled are the readings of the points with the standards in another order.
func relabelled(points []Point, order []int) ([]Point, bool) {
	out := slices.Clone(points)
	for i, j := range order {
		s, err := exact(points[j])
		if err != nil {
			return nil, false
		}
		if out[i].PH, err = s.PH(chem.Celsius(out[i].TempC)); err != nil {
			return nil, false
		}
		out[i].Standard, out[i].Set = s.Name, s.Set
	}
	return out, true
}

// unlikely grows with the distance of a line from that of a good electrode:
// 98.5 ± 1.5 %, 0 ± 8 mV, 0.02 pH from the line (choice).
func unlikely(f Fit) float64 {
	a, b, c := (f.Slope-0.985)/0.015, f.Offset/8, f.Residual/0.02
	return a*a + b*b + c*c
}

// How the other bottle of a similar nominal value is looked for (choice).
const (
	otherNear   = 1.1  // pH, between the two nominal values
	otherApart  = 0.05 // pH, that the liquids must differ to show
	otherBetter = 3.0  // by which the line must become likelier
)

// findOther looks for one standard in whose place another of a similar nominal
// value makes the line much likelier: 6.86 in the beaker of 7.00.
func findOther(points []Point, f Fit) (Finding, bool) {
	bestCost, at, other := unlikely(f)-otherBetter, -1, Standard{}
	for i, p := range points {
		for _, s := range Standards("") {
			ph, err := s.PH(chem.Celsius(p.TempC))
			if err != nil || math.Abs(s.Nominal-p.PH) > otherNear || math.Abs(ph-p.PH) < otherApart {
				continue
			}
			try := slices.Clone(points)
			try[i].PH = ph
			if g, err := FitPoints(try); err == nil && sound(g) && unlikely(g) < bestCost {
				bestCost, at, other = unlikely(g), i, s
			}
		}
	}
	if at < 0 {
		return Finding{}, false
	}
	level := Note
	if !sound(f) || f.Residual > residualPass {
		level = Remark
	}
	return Finding{Code: CodeOther, Level: level, Basis: basisOther,
		Text: fmt.Sprintf("the readings fit better if the bottle of %s was %s of the %s: look at its label",
			points[at].label(), other, other.Set.Describe())}, true
}

// staleShare is how much lower the slope towards the alkaline standard may be.
const staleShare = 0.015

// findStale compares the slope towards an alkaline standard with that of the
// others: such a standard takes up CO₂ from the air and falls.
func findStale(points []Point) (Finding, bool) {
	list := ordered(points)
	n := len(list)
	if n < 3 || list[n-1].PH < 9 {
		return Finding{}, false
	}
	low, high := between(list[n-3], list[n-2]), between(list[n-2], list[n-1])
	if high > low-staleShare {
		return Finding{}, false
	}
	return Finding{Code: CodeStale, Level: Remark, Basis: basisStale,
		Text: fmt.Sprintf("slope %.1f %% up to %s and %.1f %% above it: the %s has probably taken up carbon dioxide, pour a fresh portion",
			100*low, list[n-2].label(), 100*high, list[n-1].label())}, true
}
