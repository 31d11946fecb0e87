package calib

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib/nernst"
)

// Restlessness of the readings in one dip beside that in the others, as a factor
// of the odds that there was no buffer in it (choice).
const (
	restlessMost  = 8.0
	restlessLeast = 0.5
)

// restless is by how much the readings in a point speak for water: they scatter
// more, and come to no rest.
func (p Point) restless(all []Point) float64 {
	f := 1.0
	var others []float64
	for _, o := range all {
		if o.Standard != p.Standard && o.Hiss > 0 {
			others = append(others, o.Hiss)
		}
	}
	if len(others) > 0 && p.Hiss > 0 {
		slices.Sort(others)
		f = math.Pow(p.Hiss/others[len(others)/2], 1.5) / 1.5
	}
	if p.Restless {
		f *= 3
	}
	return math.Min(math.Max(f, restlessLeast), restlessMost)
}

// cause is what is said of the causes: one, or what cannot be told apart; none
// when all seems right.
func cause(points []Point, accounts []Account) []Finding {
	all := inquire(points, accounts)
	wrong := 1 - all[0].p // the probability that something is
	if wrong < worthWord {
		return nil
	}
	groups := grouped(all[1:])
	best := groups[0]
	if best.p/wrong >= clearly && wrong >= clearly {
		level := Remark
		if (wrong >= surely || len(points) > 2) && best.harms(points, accounts) {
			level = Stop
		}
		return []Finding{{Code: best.code, Level: level, Basis: basisOf[best.code], Text: best.text + ": " + best.tell}}
	}
	level := Note
	if wrong >= 0.5 {
		level = Remark
	}
	return []Finding{{Code: CodeUndecided, Level: level, Basis: basisInquiry, Text: undecided(groups, all[0].p)}}
}

// harms reports whether a calibration is of no use when the suspicion is right: a
// standard that is no longer what its label says may be off by little.
func (s *suspicion) harms(points []Point, accounts []Account) bool {
	if s.code != CodeAltered && s.code != CodeStale {
		return true
	}
	i := s.who[0]
	x, y := points[i].coordinates()
	var others []Point
	for j, p := range points {
		if j != i {
			p.Cov = nil // the covariances stand in another order now
			others = append(others, p)
		}
	}
	mv, _ := Foretold(accounts, others, x)
	return math.Abs(y-mv) > spoiltBy*nernst.Slope(chem.Celsius(points[i].TempC))
}

// grouped are the suspicions of one kind about one point together, the likeliest
// first; each speaks as its likeliest.
func grouped(list []suspicion) []suspicion {
	var out []suspicion
	best := map[string]float64{}
	at := map[string]int{}
	for _, s := range list {
		key := fmt.Sprint(s.code, s.who)
		i, ok := at[key]
		if !ok {
			i = len(out)
			at[key] = i
			out = append(out, s)
			best[key] = s.p
			continue
		}
		p := out[i].p + s.p
		if s.p > best[key] {
			best[key] = s.p
			out[i] = s
		}
		out[i].p = p
	}
	slices.SortStableFunc(out, func(a, b suspicion) int { return cmp.Compare(b.p, a.p) })
	return out
}

// undecided says what cannot be told apart, and what would.
func undecided(groups []suspicion, right float64) string {
	var texts, tells []string
	if right >= maybe {
		texts = append(texts, "the electrode is worn")
	}
	for _, g := range groups {
		if g.p >= maybe && len(texts) < 3 {
			texts, tells = append(texts, g.text), append(tells, g.tell)
		}
	}
	if len(texts) == 0 {
		texts, tells = []string{groups[0].text}, []string{groups[0].tell}
	}
	if len(texts) == 1 {
		return texts[0] + ", or something else: " + strings.Join(tells, "; ")
	}
	return "it cannot be decided whether " + strings.Join(texts, ", or ") + ": " + strings.Join(tells, "; ")
}
