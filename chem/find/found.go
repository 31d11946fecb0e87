package find

import (
	"cmp"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/linalg"
)

// Found is the answer, as far as it is known.
type Found struct {
	What                   What
	Name                   string  // of the bottle or the substance
	Value                  float64 // mol/L of a bottle, mol of a substance, L of a blank
	SD                     float64 // of that
	Molar, MolarSD         float64 // of the sample; 0 where its volume is not known
	PK, PKSD               float64 // in water at the temperature of the beaker, at zero ionic strength; for Constant
	Carbonate, CarbonateSD float64 // mol per mol of base; 0 where there is none
	Goal                   float64 // relative; of a blank in L
	GoalPK                 float64
	Stations               []Station
	Main                   int      // the Station that the answer rests on most; −1 for none
	Passed                 bool     // readings lie on both sides of it
	Causes                 []Spread // what the spread is made of, relative, the largest first
	Misfit                 float64
	Widened                float64 // times, the spread is wider than Causes make it, because the readings scatter more than they may; 1 for not at all
	Odd                    int     // the reading that was left aside because it fits no account of the others, from 1; 0 for none
	Shift, ShiftSD         float64 // of the meter, pH
}

// Relative is the relative spread; that of a blank in L.
func (f *Found) Relative() float64 {
	if f.What == Blank {
		return f.SD
	}
	return f.SD / math.Abs(f.Value)
}

// sided reports whether the readings lie where they have to for an end: on both sides of
// the equivalence point, after so many compositions. A blank needs no point.
func (f *Found) sided(readings int) bool {
	if f.What == Blank {
		return readings >= blankReads
	}
	return f.Passed && readings >= leastReads
}

// blankReads are the compositions that a blank is read from at least: the water, and two
// more.
const blankReads = 3

// Reached reports whether the answer is as well known as was wanted.
func (f *Found) Reached() bool {
	return f.Relative() <= f.Goal && (f.What != Constant || f.PKSD <= f.GoalPK)
}

// AsGood reports whether it is so but for a twentieth: no more than the digits of a spread
// say.
func (f *Found) AsGood() bool {
	return f.Relative() <= asGood*f.Goal && (f.What != Constant || f.PKSD <= asGood*f.GoalPK)
}

const asGood = 1.05 // choice

// Found is the answer of a belief.
func (bel *Belief) Found() Found { return bel.found(bel.Stations()) }

func (bel *Belief) found(st []Station) Found {
	b := bel.bench
	f := Found{What: b.What, Goal: b.Goal, GoalPK: b.GoalPK, Stations: st, Misfit: bel.Misfit, Widened: math.Sqrt(bel.widening()), Odd: bel.Odd, Shift: bel.x[iShift], Main: main(st, b.Vessel-b.Start)}
	f.ShiftSD = math.Sqrt(bel.variance(unit(len(bel.x), iShift)))
	g := bel.goal(st)
	rel := bel.sd(g)
	switch b.What {
	case Blank:
		f.Name, f.Value, f.SD = b.Stocks[0].Name, linalg.Dot(g, bel.x), rel
		f.Causes = bel.causes(g)
		return f
	case Strength:
		s := b.Stocks[0]
		z := carbonAt(st)
		f.Name, f.Value = s.Name, s.Molar*bel.f.strength[0]*(1+(1+z)*bel.x[b.iCarbon(0)])
	default:
		p := b.Parts[b.Of]
		f.Name, f.Value = p.Name, p.Moles*bel.f.part[b.Of]
		if b.SampleML > 0 {
			f.Molar = f.Value / b.SampleML * 1e3
			f.MolarSD = f.Molar * math.Hypot(rel, b.SampleSD)
		}
	}
	f.SD = rel * f.Value
	if b.What == Constant {
		k := b.PKs[0]
		f.PK = b.Systems[k.System].Steps[k.Step].PKAt(b.Temp) + bel.x[b.iPK(0)]
		f.PKSD = bel.sd(unit(len(bel.x), b.iPK(0)))
	}
	if b.mayCarbonate(0) {
		f.Carbonate, f.CarbonateSD = bel.x[b.iCarbon(0)], math.Sqrt(bel.variance(unit(len(bel.x), b.iCarbon(0))))
	}
	if f.Main >= 0 {
		f.Passed = bel.passed(st[f.Main])
	}
	f.Causes = bel.causes(g)
	return f
}

// carbonAt is the charge of carbonate at the equivalence point that counts: at pH
// 8 to 9 a base that holds carbonate takes up one proton less by each, which is its
// strength; at pH 4 it takes up both.
func carbonAt(st []Station) float64 {
	if i := main(st, chem.Volume(math.Inf(1))); i >= 0 {
		return st[i].carbon
	}
	return -1
}

// goal is the functional that is to be known: ln of what is looked for.
func (bel *Belief) goal(st []Station) []float64 {
	b := bel.bench
	if b.What == Blank {
		g := unit(len(bel.x), iExcess)
		g[iExcess] = -1 / b.Stocks[0].PerLitre.Charge
		return g
	}
	if b.What != Strength {
		return unit(len(bel.x), b.iPart(b.Of))
	}
	g := unit(len(bel.x), b.iStrength(0))
	if b.mayCarbonate(0) {
		z := carbonAt(st)
		g[b.iCarbon(0)] = (1 + z) / (1 + (1+z)*bel.x[b.iCarbon(0)])
	}
	return g
}

func unit(n, i int) []float64 {
	g := make([]float64, n)
	g[i] = 1
	return g
}

// main is the sharpest of the equivalence points within a volume, −1 for none.
func main(st []Station, most chem.Volume) int {
	best := -1
	for i, s := range st {
		if s.Volume <= most && (best < 0 || s.Sharp > st[best].Sharp) {
			best = i
		}
	}
	return best
}

// causes part the spread of a functional into what it comes from: the answer is
// linear in the prior means and in the readings, and their parts add up.
func (bel *Belief) causes(g []float64) []Spread {
	b, n, m := bel.bench, len(bel.lv), len(bel.x)
	k := bel.w(g)
	linalg.Backward(bel.l, n, k)
	sum := map[Cause]float64{}
	for i := range m {
		c := g[i]
		for r := range n {
			c -= k[r] * bel.lv[r].grad[i]
		}
		bel.charge(sum, i, c*c*bel.p0[i])
	}
	for i := range n {
		sum[OfPH] += k[i] * k[i] * b.own(&bel.lv[i], bel.hist.Observations[i].SD)
		for j := range n {
			sum[OfMeter] += k[i] * k[j] * b.bend(&bel.lv[i], &bel.lv[j])
			cause := OfScatter
			if b.Stocks[0].By != Drops {
				cause = OfReading
			}
			sum[cause] += k[i] * k[j] * b.noise(&bel.sc, bel.hist.Observations[i].After, bel.hist.Observations[j].After, &bel.lv[i], &bel.lv[j])
		}
	}
	var out []Spread
	for c, v := range sum {
		if v > 0 {
			out = append(out, Spread{c, math.Sqrt(v)})
		}
	}
	slices.SortFunc(out, func(a, c Spread) int { return cmp.Or(cmp.Compare(c.SD, a.SD), cmp.Compare(a.Cause, c.Cause)) })
	return out
}

// sizeAlone is the spread of a drop from which on what is not known of a strength is
// its doing.
const sizeAlone = 0.02

// charge puts the part of one unknown down to its causes.
func (bel *Belief) charge(sum map[Cause]float64, i int, v float64) {
	b := bel.bench
	switch {
	case i == iShift || i == iSlope:
		sum[OfMeter] += v
	case i == iExcess && b.What == Blank:
		sum[OfPH] += v // what is looked for: the readings say it
	case i == iExcess:
		sum[OfBlank] += v
	case i < b.iStrength(0):
		p := b.Parts[i-fixed]
		if len(p.Causes) == 0 {
			sum[OfPH] += v // what is looked for: the readings say it
		}
		for _, c := range p.Causes {
			sum[c.Cause] += v * c.SD * c.SD / (p.SD * p.SD)
		}
	case i == b.iStrength(0) && b.What == Strength && b.Stocks[0].SizeSD > sizeAlone:
		sum[OfSize] += v // readings show the product of strength and size alone
	case i == b.iStrength(0) && b.What == Strength:
		sum[OfPH] += v
	case i < b.iSize(0):
		sum[OfStrength] += v
	case i < b.iCarbon(0):
		if b.Stocks[i-b.iSize(0)].By == Drops {
			sum[OfSize] += v
		} else {
			sum[OfBurette] += v
		}
	case i < b.iPK(0):
		sum[OfCarbonate] += v
	default:
		sum[OfConstant] += v
	}
}
