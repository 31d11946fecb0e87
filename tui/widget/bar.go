package widget

import (
	"math"
	"strings"
)

// Bar is a bar of w cells with its edges, filled to a share of 0 to 1.
func Bar(share float64, w int, set *Set) string {
	inner := w - 2
	if inner < 1 {
		return ""
	}
	if !(share >= 0) {
		share = 0
	}
	steps := len(set.parts) + 1
	n := int(math.Round(min(share, 1) * float64(inner*steps)))
	full, part := n/steps, n%steps
	b := strings.Repeat(set.BarFull, full)
	if part > 0 {
		b += set.parts[part-1]
		full++
	}
	return set.BarEdges[0] + b + strings.Repeat(set.BarEmpty, inner-full) + set.BarEdges[1]
}
