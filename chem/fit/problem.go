package fit

import (
	"cmp"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/pitzer"
	"example.org/halfdrop/chem/thermo"
)

// ladder is how constants go with the ionic strength: by the charges of the acids, which
// nobody knows.
type ladder int

const (
	flat     ladder = iota // not at all
	acidic                 // acids of one molecule that has no charge before it gives its first proton
	alkaline               // of one molecule that has none when it has given its last
)

// step is the change of the square of the charge when a proton is given, of the k-th of m.
func (l ladder) step(k, m int) float64 {
	switch l {
	case acidic:
		return float64(2*k + 1)
	case alkaline:
		return float64(1 - 2*(m-k))
	}
	return 0
}

// problem is a titration to be fitted.
type problem struct {
	points []Point
	spread []float64 // pH, of each point: of the reading, and of the volume where the curve is steep
	sign   float64   // +1 for a base as titrant, −1 for an acid
	sample float64   // mL
	given  float64   // mol/L; 0 when it is fitted
	temp   chem.Celsius
	kw     float64 // pK of water
	last   float64 // mL, the largest volume
	salted ladder  // how constants go with the ionic strength
	slope  float64 // of the meter beyond that of theory, relative
	carbon float64 // mol of carbonate in a mol of a base as titrant, which is what it neutralises up to pH 8 to 9
}

func newProblem(points []Point, o Options) *problem {
	p := &problem{points: points, sign: 1, sample: o.SampleML, given: o.Molar, temp: o.Temp,
		last: points[len(points)-1].ML}
	p.sample = cmp.Or(p.sample, usualML)
	p.temp = cmp.Or(p.temp, 25)
	if o.Acid || !o.Base && points[len(points)-1].PH < points[0].PH {
		p.sign = -1
	}
	p.kw = thermo.WaterPK(p.temp.Kelvin())
	p.spread = make([]float64, len(points))
	for i := range points {
		a, b := points[max(i-1, 0)], points[min(i+1, len(points)-1)]
		steep := math.Abs(b.PH-a.PH) / math.Max(b.ML-a.ML, 1e-12)
		p.spread[i] = math.Hypot(readingSD, steep*volumeSD*p.last)
	}
	return p
}

// params are the unknowns: strength of the titrant, excess of strong base,
// amounts and constants of the sites, shift of the meter.
type params struct {
	molar, excess float64 // mol/L, mol
	n, pk         []float64
	shift         float64
}

func (p *problem) unknowns(m int) int { return 2*m + 3 }

func (q params) vector() []float64 {
	v := append([]float64{q.molar, q.excess}, q.n...)
	return append(append(v, q.pk...), q.shift)
}

func paramsOf(v []float64) params {
	m := (len(v) - 3) / 2
	return params{molar: v[0], excess: v[1], n: append([]float64(nil), v[2:2+m]...), pk: append([]float64(nil), v[2+m:2+2*m]...), shift: v[2+2*m]}
}

// at is the residual charge of a point, mol, its slope with pH, and its
// derivatives.
func (p *problem) at(q params, pt Point, grad []float64) (residual, slope float64) {
	ph, litres := pt.PH+q.shift+p.slope*(pt.PH-neutral), (p.sample+pt.ML)/1e3
	m := len(q.pk)
	// Activity of H⁺ to concentration: Davies at the ionic strength of the
	// titrant given so far and of what H⁺ and OH⁻ themselves make, which is near
	// enough: one ion of each sign for each charge.
	free := math.Min(math.Pow(10, -ph)+math.Pow(10, ph-p.kw), 1)
	strength := math.Min(math.Max(q.molar*pt.ML/1e3/litres+free, math.Abs(q.excess)/litres)+0.001, 0.5)
	log := p.davies(strength)
	if p.salted != flat {
		log = p.davies(p.strength(q, Point{pt.ML, ph}, log))
	}
	gamma := math.Pow(10, log)
	h, oh := math.Pow(10, -ph)/gamma, math.Pow(10, ph-p.kw)/gamma
	residual = p.sign*q.molar*pt.ML/1e3 + q.excess + (h-oh)*litres
	slope = -math.Ln10 * (h + oh) * litres
	for k := range q.pk {
		pk := q.pk[k]
		if p.salted != flat {
			pk += p.salted.step(rank(q.pk, k), m) * log
		}
		a := 1 / (1 + math.Pow(10, pk-ph))
		residual -= q.n[k] * a
		b := math.Ln10 * a * (1 - a) * q.n[k]
		slope -= b
		grad[2+k], grad[2+m+k] = -a, b
	}
	grad[0], grad[1] = p.sign*pt.ML/1e3, 1
	if p.carbon > 0 && p.sign > 0 {
		first, second := 1/(1+math.Pow(10, carbonicPK1-ph)), 1/(1+math.Pow(10, carbonicPK2-ph))
		given := p.carbon * pt.ML / 1e3
		grad[0] += given * (1 - first - second)
		residual += given * q.molar * (1 - first - second)
		slope -= given * q.molar * math.Ln10 * (first*(1-first) + second*(1-second))
	}
	grad[2+2*m] = slope
	return residual, slope
}

// The pK of carbonic acid at 25 °C and no ionic strength: Plummer & Busenberg, Geochim.
// Cosmochim. Acta 46, 1011 (1982), from memory.
const carbonicPK1, carbonicPK2 = 6.352, 10.329

// davies is log γ of an ion of one charge at an ionic strength, mol/L.
func (p *problem) davies(strength float64) float64 {
	return -thermo.DebyeHuckelA(p.temp.Kelvin()) * pitzer.Davies(strength)
}

// rounds is how often ionic strength and degrees of dissociation are worked out from each other.
const rounds = 3

// strength is the ionic strength at a point, mol/L, with the ions that the acids themselves
// make, from a guess of log γ.
func (p *problem) strength(q params, pt Point, log float64) float64 {
	ph, ml := pt.PH, pt.ML
	litres, m := (p.sample+ml)/1e3, len(q.pk)
	strength := 0.0
	for range rounds {
		gamma := math.Pow(10, log)
		ions := (math.Pow(10, -ph)+math.Pow(10, ph-p.kw))/gamma*litres + q.molar*ml/1e3 + math.Abs(q.excess)
		for k := range q.pk {
			step := p.salted.step(rank(q.pk, k), m)
			given := 1 / (1 + math.Pow(10, q.pk[k]+step*log-ph))
			if ions += q.n[k] * step * given; step < 0 {
				ions -= q.n[k] * step
			}
		}
		strength = math.Max(0.001, math.Min(ions/litres/2, 0.5))
		log = p.davies(strength)
	}
	return strength
}

// apparent is what has to be added to a constant to have it as it appears half way through
// the points.
func (p *problem) apparent(q params, k int) float64 {
	if p.salted == flat {
		return 0
	}
	mid := p.points[len(p.points)/2]
	log := p.davies(p.strength(q, Point{mid.ML, mid.PH + q.shift}, 0))
	return p.salted.step(rank(q.pk, k), len(q.pk)) * log
}

// rank is how many constants are smaller than one of them.
func rank(pk []float64, k int) (n int) {
	for i := range pk {
		if pk[i] < pk[k] {
			n++
		}
	}
	return n
}

// sd is the spread of the residual of a point: of the reading, and of the volume.
func (p *problem) sd(q params, slope float64) float64 {
	return math.Hypot(slope*readingSD, q.molar*p.last/1e3*volumeSD) + 1e-15
}

// normal fills the weighted normal equations and gives the sum of squares.
// Priors hold what was said, and keep the rest where it means something.
func (p *problem) normal(q params, n matrix, g []float64) float64 {
	clear(n.v)
	clear(g)
	grad := make([]float64, len(g))
	total := 0.0
	for _, pt := range p.points {
		clear(grad)
		r, slope := p.at(q, pt, grad)
		w := 1 / p.sd(q, slope)
		total += r * r * w * w
		for a := range grad {
			g[a] += grad[a] * r * w * w
			for b := range grad {
				n.v[a*n.n+b] += grad[a] * grad[b] * w * w
			}
		}
	}
	last := len(g) - 1
	prior := func(i int, off, sd float64) {
		total += off * off / (sd * sd)
		g[i] += off / (sd * sd)
		n.v[i*n.n+i] += 1 / (sd * sd)
	}
	prior(last, q.shift, shiftSD)
	if p.given > 0 {
		prior(0, q.molar-p.given, 1e-6*p.given)
	}
	for k := range q.pk {
		prior(2+len(q.pk)+k, q.pk[k]-7, 5)
	}
	return total
}

// covariance is that of the unknowns, scaled by what is left over. What the
// priors hold is not made surer by a curve that fits well.
func (p *problem) covariance(q params) matrix {
	size := p.unknowns(len(q.pk))
	n, g := newMatrix(size), make([]float64, size)
	p.normal(q, n, g)
	free := math.Max(float64(len(p.points)-size), 1)
	k := math.Max(p.squares(q)/free, 0.25)
	priors := newMatrix(size)
	one := *p
	one.points = nil
	one.normal(q, priors, g)
	for i := range n.v {
		n.v[i] = (n.v[i]-priors.v[i])/k + priors.v[i]
	}
	inv, ok := n.inverse()
	if !ok {
		inv = newMatrix(size)
		for i := range inv.v {
			inv.v[i] = math.Inf(1)
		}
	}
	return inv
}

// ph is the pH of the fitted curve at a volume, mL: Newton's steps between
// bounds, as the charge falls with pH.
func (p *problem) ph(q params, ml float64) float64 { return p.near(q, Point{ml, 7}) }

// near is ph at the volume of a point, from its pH.
func (p *problem) near(q params, pt Point) float64 {
	lo, hi, at, ml := -2.0, 16.0, pt.PH, pt.ML
	grad := make([]float64, p.unknowns(len(q.pk)))
	for range 60 {
		r, slope := p.at(q, Point{ml, at}, grad)
		if r > 0 {
			lo = at
		} else {
			hi = at
		}
		next := at - r/slope
		if !(next > lo && next < hi) || math.Abs(next-at) > 2 {
			next = (lo + hi) / 2
		}
		if math.Abs(next-at) < 1e-7 {
			return next
		}
		at = next
	}
	return at
}

func (p *problem) rms(q params) float64 {
	s := 0.0
	for _, pt := range p.points {
		d := pt.PH - p.near(q, pt)
		s += d * d
	}
	return math.Sqrt(s / float64(len(p.points)))
}

// capped is how many spreads a point may be off before it counts no further: one
// reading that was not at rest is no reason to bend the curve.
const capped = 25.0

// squares is the sum of squares in pH, by the spreads that the points themselves
// give, so that fits of any strength can be compared.
func (p *problem) squares(q params) float64 {
	s := 0.0
	for i, pt := range p.points {
		d := (pt.PH - p.near(q, pt)) / p.spread[i]
		s += math.Min(d*d, capped*capped)
	}
	return s
}

// left is the spread that is left over, pH.
func (p *problem) left(q params) float64 {
	return readingSD * math.Sqrt(p.squares(q)/float64(len(p.points)))
}
