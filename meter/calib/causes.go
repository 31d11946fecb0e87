package calib

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/linalg"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/standards"
)

// What may lie behind the readings of a calibration is weighed, not guessed. Each
// suspicion says what liquid the electrode was in at each dip, and how well that
// is known; slope and offset are those that such electrodes have, or that this
// one had before. All of that is normal, so that the evidence of a suspicion is a
// normal density of the readings. The likeliest is named when it clearly is; else
// what cannot be told apart is said, with what would tell.

// suspicion is one account of what went on.
type suspicion struct {
	code  Code
	who   []int // the points it is about
	odds  float64
	x     []float64 // mV of an ideal electrode in what it was in
	extra []float64 // variance of that, mV²
	bend  float64   // factor of the slope; 1 for none
	text  string
	tell  string // how to tell it apart

	logW float64
	p    float64
}

// Odds of what goes wrong in a calibration against all being right, a choice of
// this project: nobody has counted them.
const (
	oddsSwapped  = 0.020
	oddsNear     = 0.020 // the bottle of a nominal value half a pH away or less
	oddsFar      = 0.006 // another one
	oddsAltered  = 0.015
	oddsStale    = 0.060
	oddsWater    = 0.010
	oddsSame     = 0.010
	oddsReversed = 0.003
	oddsTemp     = 0.010
	oddsTempHand = 0.030
	oddsTempOdd  = 0.500
)

// Figures of judgement of the causes, a choice of this project.
const (
	nearNominal = 0.5  // pH
	alterSD     = 0.12 // pH, by which a standard that was spoilt is off
	staleBy     = 0.10 // pH, by which an alkaline one falls
	staleSD     = 0.10
	waterPH     = 6.3 // of rinse water
	waterSD     = 0.8
	usualLow    = 15.0 // °C of a bench
	usualHigh   = 27.5
	spoiltBy    = 0.16 // pH by which a standard may be off and the line between the others still be one
	clearly     = 0.80 // probability from which on a cause is named
	surely      = 0.95 // and from which on the calibration is not to be used for it
	worthWord   = 0.12 // from which on it is worth a word that something may be wrong
	maybe       = 0.10 // from which on a cause is named among others
)

// Exact is the standard of a point.
func Exact(p Point) (standards.Standard, error) { return standards.Labelled(p.Set, p.Standard) }

// alikeShare of the expected span is the least that two standards must differ.
const alikeShare = 1.0 / 6

// findAlike looks for an electrode that does not see the difference.
func findAlike(points []Point) (Finding, bool) {
	a, b := extremes(points)
	if math.Abs(between(a, b)) > alikeShare {
		return Finding{}, false
	}
	return Finding{Code: CodeAlike, Level: Stop, Basis: basisAlike,
		Text: fmt.Sprintf("%s and %s read alike, %.1f mV apart: the cap is still on, the same beaker for both, a cracked bulb, or a wet or shorted plug",
			a.Label(), b.Label(), math.Abs(b.Potential()-a.Potential()))}, true
}

// inquiry weighs what may lie behind some points.
type inquiry struct {
	points   []Point
	accounts []Account
	x, y     []float64
	list     []suspicion
}

// inquire weighs the suspicions; the first of the list is that all is right.
func inquire(points []Point, accounts []Account) []suspicion {
	q := inquiry{points: points, accounts: accounts}
	for _, p := range points {
		x, y := p.coordinates()
		q.x, q.y = append(q.x, x), append(q.y, y)
	}
	q.add(suspicion{odds: 1})
	q.swapped()
	for i := range points {
		q.other(i)
		q.altered(i)
		q.water(i)
		q.same(i)
	}
	q.reversed()
	q.temperature()
	q.weigh()
	return q.list
}

// add takes a suspicion up; what it does not say is as labelled.
func (q *inquiry) add(s suspicion) {
	if s.x == nil {
		s.x = q.x
	}
	if s.extra == nil {
		s.extra = make([]float64, len(q.x))
	}
	s.bend = cmp.Or(s.bend, 1)
	q.list = append(q.list, s)
}

// with are the ideal potentials with one changed.
func (q *inquiry) with(i int, x float64) []float64 {
	out := slices.Clone(q.x)
	out[i] = x
	return out
}

// doubt are extra variances, of one dip, in pH.
func (q *inquiry) doubt(i int, sd float64) []float64 {
	out := make([]float64, len(q.x))
	k := sd * nernst.Slope(chem.Celsius(q.points[i].TempC))
	out[i] = k * k
	return out
}

func (q *inquiry) swapped() {
	n := len(q.points)
	for i := range n {
		for j := i + 1; j < n; j++ {
			a, b := q.points[i], q.points[j]
			if math.Abs(a.PH-b.PH) < 2*nearNominal {
				continue
			}
			x := slices.Clone(q.x)
			x[i], x[j] = x[j], x[i]
			q.add(suspicion{code: CodeSwapped, who: []int{i, j}, odds: oddsSwapped / float64(n-1), x: x,
				text: a.Label() + " and " + b.Label() + " seem to have been exchanged",
				tell: "check the labels, and dip into each once more"})
		}
	}
}

// other is the bottle of another nominal value in the place of the right one.
func (q *inquiry) other(i int) {
	p := q.points[i]
	type bottle struct {
		standards.Standard
		ph float64
	}
	var near, far []bottle
	// Of two that read alike, the one of the set that is in use stands nearer at hand.
	for _, s := range slices.Concat(standards.Of(p.Set), standards.Of("")) {
		ph, err := s.PH(chem.Celsius(p.TempC))
		known := func(list []bottle) bool {
			return slices.ContainsFunc(list, func(b bottle) bool { return math.Abs(b.ph-ph) < otherApart/2 })
		}
		switch {
		case err != nil || math.Abs(ph-p.PH) < otherApart || known(near) || known(far):
		case math.Abs(s.Nominal-p.PH) <= nearNominal:
			near = append(near, bottle{s, ph})
		default:
			far = append(far, bottle{s, ph})
		}
	}
	for _, g := range []struct {
		list []bottle
		odds float64
	}{{near, oddsNear}, {far, oddsFar}} {
		for _, b := range g.list {
			held := b.String()
			if b.Set != p.Set {
				held += " of the " + b.Set.Describe()
			}
			q.add(suspicion{code: CodeOther, who: []int{i}, odds: g.odds / float64(len(g.list)), x: q.with(i, nernst.MV(b.ph, chem.Celsius(p.TempC))),
				text: fmt.Sprintf("the beaker of %s held %s", p.Label(), held),
				tell: fmt.Sprintf("check the label of the bottle of %s", p.Label())})
		}
	}
}

// otherApart is what two liquids must differ to show, pH (choice).
const otherApart = 0.05

// altered is a standard that is no longer what its label says.
func (q *inquiry) altered(i int) {
	p := q.points[i]
	if p.PH < 9 {
		q.add(suspicion{code: CodeAltered, who: []int{i}, odds: oddsAltered, extra: q.doubt(i, alterSD),
			text: fmt.Sprintf("the portion of %s was not what its label says: spoilt, diluted or contaminated", p.Label()),
			tell: fmt.Sprintf("pour a fresh portion of %s from another bottle, rinse well, and read that", p.Label())})
		return
	}
	q.add(suspicion{code: CodeStale, who: []int{i}, odds: oddsStale, extra: q.doubt(i, staleSD),
		x:    q.with(i, nernst.MV(p.PH-staleBy, chem.Celsius(p.TempC))),
		text: fmt.Sprintf("the %s was not what its label says: it has probably taken up carbon dioxide from the air", p.Label()),
		tell: fmt.Sprintf("pour a fresh portion of %s and read that", p.Label())})
}

// water is a beaker without buffer: of rinse water, or of nearly nothing else.
func (q *inquiry) water(i int) {
	p := q.points[i]
	q.add(suspicion{code: CodeWater, who: []int{i}, odds: oddsWater * p.restless(q.points), extra: q.doubt(i, waterSD),
		x:    q.with(i, nernst.MV(waterPH, chem.Celsius(p.TempC))),
		text: fmt.Sprintf("the beaker of %s held water, not buffer", p.Label()),
		tell: fmt.Sprintf("pour a fresh portion of %s", p.Label())})
}

// same is the electrode in the beaker of another standard.
func (q *inquiry) same(i int) {
	for j, b := range q.points {
		a := q.points[i]
		if j == i || math.Abs(a.PH-b.PH) < 2*nearNominal {
			continue
		}
		q.add(suspicion{code: CodeSame, who: []int{i}, odds: oddsSame / float64(len(q.points)-1), x: q.with(i, q.x[j]),
			text: fmt.Sprintf("for %s the electrode stood in %s", a.Label(), b.Label()),
			tell: fmt.Sprintf("dip into %s once more", a.Label())})
	}
}

// reversed is a meter that turns the sign.
func (q *inquiry) reversed() {
	a, b := extremes(q.points)
	q.add(suspicion{code: CodeReversed, odds: oddsReversed, bend: -1,
		text: fmt.Sprintf("the potential rises with pH, where it should fall, at %.1f %% of the ideal slope: the meter reverses the sign, or plus and minus are exchanged", -100*between(a, b)),
		tell: "check the setting of the meter and the plug"})
}

// extremes are the points of the least and of the greatest pH.
func extremes(points []Point) (low, high Point) {
	list := ordered(points)
	return list[0], list[len(list)-1]
}

// temperature is a temperature that is not that of the standards: the slope of an
// electrode is proportional to it, and their pH moves with it.
func (q *inquiry) temperature() {
	mean, hand := 0.0, false
	for _, p := range q.points {
		mean += p.TempC / float64(len(q.points))
		hand = hand || p.TempByHand
	}
	odds, truths := oddsTemp, []float64{mean - 14, mean - 10, mean - 6, mean + 6, mean + 10, mean + 14}
	if hand {
		odds = oddsTempHand
	}
	if mean < usualLow || mean > usualHigh {
		odds, truths = oddsTempOdd, []float64{18, 20, 22, 24, 26}
	}
	for _, truth := range truths {
		x := make([]float64, len(q.points))
		ok := true
		for i, p := range q.points {
			s, err := Exact(p)
			if err != nil {
				ok = false
				break
			}
			ph, err := s.PH(chem.Celsius(truth))
			ok = ok && err == nil
			x[i] = nernst.MV(ph, chem.Celsius(truth))
		}
		if !ok || truth < usualLow-5 || truth > usualHigh+5 {
			continue
		}
		q.add(suspicion{code: CodeTemp, odds: odds / float64(len(truths)), x: x,
			text: fmt.Sprintf("the temperature of %.0f °C is not that of the standards, but about %.0f °C", mean, truth),
			tell: "put a thermometer in the standards; a temperature probe that is off changes the slope by 0.34 % per °C"})
	}
}

// weigh turns the evidence into probabilities.
func (q *inquiry) weigh() {
	c := covariance(q.points)
	most := math.Inf(-1)
	for i := range q.list {
		s := &q.list[i]
		s.logW = math.Log(s.odds) + q.evidence(s, c)
		most = math.Max(most, s.logW)
	}
	sum := 0.0
	for i := range q.list {
		q.list[i].p = math.Exp(q.list[i].logW - most)
		sum += q.list[i].p
	}
	for i := range q.list {
		q.list[i].p /= sum
	}
}

// evidence is the logarithm of the density of the readings under a suspicion, over
// all accounts of the electrode.
func (q *inquiry) evidence(s *suspicion, c [][]float64) float64 {
	n := len(q.points)
	total := math.Inf(-1)
	for _, a := range q.accounts {
		slope := a.slope * s.bend
		m := make([][]float64, n)
		r := make([]float64, n)
		for i := range n {
			r[i] = q.y[i] - a.offset - slope*s.x[i]
			m[i] = make([]float64, n)
			for j := range n {
				m[i][j] = c[i][j] + a.offsetSD*a.offsetSD + a.slopeSD*a.slopeSD*s.x[i]*s.x[j]
			}
			m[i][i] += s.extra[i]
		}
		w, lnDet := inverse(m)
		total = logSum(total, math.Log(a.weight)-(lnDet+linalg.Form(r, w, r))/2)
	}
	return total
}

// logSum is the logarithm of the sum of two numbers given by theirs.
func logSum(a, b float64) float64 {
	if a < b {
		a, b = b, a
	}
	if math.IsInf(a, -1) {
		return a
	}
	return a + math.Log1p(math.Exp(b-a))
}
