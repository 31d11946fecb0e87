package foreign

import (
	"math"
	"slices"
)

// Figures of volumes that are noted where they were given, a choice of this project.
const (
	notedFewest = 4    // volumes
	comesToRest = 0.3  // of a move that may fall into the second half of its rows, as a rule
	atRest      = 0.25 // of the next move of the pH, up to which it rested before the first addition
)

// carry puts the volume of an addition on the readings after it, where it was noted when it
// was given and not when it was read: the pH rests until the second volume, the first being
// none, and moves after the last.
func carry(ml, ph []float64) bool {
	var at []int
	for i, v := range ml {
		if !math.IsNaN(v) && i < len(ph) {
			at = append(at, i)
		}
	}
	n := len(at)
	if n < notedFewest || 2*n >= len(ml) || ml[at[0]] != 0 {
		return false
	}
	to := func(k int) int { // the last row before the next volume
		if k+1 < n {
			return at[k+1] - 1
		}
		return len(ph) - 1
	}
	move := func(k int) float64 { return math.Abs(ph[to(k)] - ph[at[k]]) }
	if !(move(0) < atRest*move(1)) || !(move(n-1) > atRest*move(n-2)) {
		return false
	}
	var late []float64 // of each move, the share of the second half: half of it where titrant runs on
	for k := 1; k < n; k++ {
		if m := move(k); to(k)-at[k] >= 2 && m > 0 {
			late = append(late, math.Abs(ph[to(k)]-ph[(at[k]+to(k)+1)/2])/m)
		}
	}
	if slices.Sort(late); len(late) < notedFewest-1 || late[len(late)/2] > comesToRest {
		return false
	}
	for i := range ml {
		if i > at[0] && math.IsNaN(ml[i]) {
			ml[i] = ml[i-1]
		}
	}
	return true
}
