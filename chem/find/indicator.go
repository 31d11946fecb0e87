package find

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem/coach"
)

// indicators turn their colour over a range of pH: CRC Handbook of Chemistry and
// Physics, table of acid–base indicators (from memory).
var indicators = []struct {
	name      string
	low, high float64
}{
	{"methyl orange", 3.2, 4.4}, {"bromocresol green", 3.8, 5.4}, {"methyl red", 4.8, 6.0}, {"bromothymol blue", 6.0, 7.6},
	{"phenol red", 6.6, 8.0}, {"phenolphthalein", 8.2, 10.0}, {"thymolphthalein", 9.4, 10.6},
}

// Indicators are the indicators that bring the least error at the main equivalence
// point as planned, at most n, in words: where each turns, and the volume by which the
// two ends of that differ from the point. An end point by eye is common practice, and
// stays the user's choice.
func (b *Bench) Indicators(n int) []string {
	bel, err := b.Believe(coach.History{})
	if err != nil {
		return nil
	}
	rd := bel.roadOf(0)
	st := bel.stations(&rd)
	k := main(st, b.Vessel-b.Start)
	if k < 0 {
		return nil
	}
	type choice struct {
		words string
		worst float64
	}
	var list []choice
	v := st[k].Volume.Litres()
	for _, i := range indicators {
		lo, hi := rd.volumeOf((*milestone).beaker, i.low)/v-1, rd.volumeOf((*milestone).beaker, i.high)/v-1
		if math.IsNaN(lo + hi) {
			continue
		}
		worst := math.Max(math.Abs(lo), math.Abs(hi))
		list = append(list, choice{fmt.Sprintf("%s turns at pH %g to %g: %+.2f to %+.2f %% of the volume", i.name, i.low, i.high, 100*math.Min(lo, hi), 100*math.Max(lo, hi)), worst})
	}
	slices.SortFunc(list, func(a, c choice) int { return cmp.Compare(a.worst, c.worst) })
	var out []string
	for _, c := range list[:min(n, len(list))] {
		out = append(out, c.words)
	}
	return out
}
