package fit

import (
	"cmp"
	"math"

	"example.org/halfdrop/chem"
)

// Point is a reading at a volume of titrant.
type Point struct{ ML, PH float64 }

// Options are what is known of the titration.
type Options struct {
	SampleML float64      // mL titrated; 0 when it is not known
	Molar    float64      // mol/L of charge that the titrant brings, a strong acid or base; 0 when it is not known
	Acid     bool         // the titrant is an acid; otherwise as the curve goes
	Base     bool         // the titrant is a base; otherwise as the curve goes
	Temp     chem.Celsius // 25 °C when 0
	MaxSites int          // most constants to look for; 4 when 0
}

// Value is a figure with its standard deviation.
type Value struct {
	Value float64 `json:"value"`
	SD    float64 `json:"sd"`
}

// Told reports whether the figure says anything: it is a number, and its spread
// is less than itself.
func (v Value) Told() bool {
	return finite(v.Value) && finite(v.SD) && v.SD < math.Abs(v.Value)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

func orNull(x float64) *float64 {
	if !finite(x) {
		return nil
	}
	return &x
}

// Site is an acid of one proton in the sample.
type Site struct {
	PK   Value `json:"pk"`
	MMol Value `json:"mmol"`       // not Told when it rests on a strength that nobody said
	ML   Value `json:"titrant_ml"` // of the titrant, to titrate it; needs no strength
}

// Result is what a curve was found to be.
type Result struct {
	Points   int     `json:"points"`
	Acid     bool    `json:"acid"`        // titrated with acid
	Molar    Value   `json:"molar"`       // of the titrant; SD 0 when it was given
	Excess   Value   `json:"excess_mmol"` // strong base in the sample, below zero acid
	Sites    []Site  `json:"sites"`
	Shift    Value   `json:"ph_shift"` // by which the meter was low
	Ends     []Value `json:"equivalence_ml"`
	RMSPH    float64 `json:"rms_ph"`  // of what is left, pH
	Left     float64 `json:"left_ph"` // the same, but for what an error of the volume explains at the ends
	SampleML float64 `json:"sample_ml"`
	SampleSD float64 `json:"sample_ml_sd"` // 0 when it was given
	p        params
	problem  problem
}

// Figures of judgement, a choice of this project.
const (
	fewest    = 6
	readingSD = 0.02  // pH
	volumeSD  = 0.003 // of the largest volume
	shiftSD   = 0.30  // pH, how far a meter that nobody calibrated may be off
	unheldSD  = 0.15  // pH, of the meter where no strength of the titrant holds it
	usualML   = 50.0  // of a sample, when it is not known
	slopeSD   = 0.010 // relative, of a meter that was calibrated
	// carbonOfAge is one standard deviation of the carbonate of a base of unknown age, mol in a
	// mol: a fresh one has 0.005 (recipe's carbonate_pct), one of weeks 0.01.
	carbonOfAge = 0.0075
	neutral     = 7.0 // pH at which a slope of the meter changes nothing
	better      = 2.0 // by which the score has to fall to believe in one more constant
	nearly      = 6.0 // by which the score of a fit may be worse that still counts beside the best
	// usualShift is how far off most meters are, pH; mostOff the most that it says.
	usualShift, mostOff = 0.1, 25.0
	sampleFactor        = 2.0 // how far off the usual volume an unknown one may be
)

// Curve fits no to MaxSites constants, and keeps the number that the points speak
// for (G. Schwarz, Ann. Stat. 6, 461 (1978): from memory). A curve that is none, or
// of which nothing can be told, is a *Refusal.
func Curve(points []Point, o Options) (*Result, error) {
	if err := plausible(points, o); err != nil {
		return nil, err
	}
	read := len(points)
	points = thin(points)
	p := newProblem(points, o)
	most := cmp.Or(o.MaxSites, 4)
	var all []candidate
	best := 0
	var at params
	for m := 0; m <= most && p.unknowns(m) < len(points); m++ {
		at = p.add(at, m)
		r := p.report(at, o.SampleML > 0)
		if m > 1 && r.vague() {
			continue
		}
		all = append(all, candidate{r, p.score(at), at})
		last := &all[len(all)-1]
		if m > 1 && last.hopeless(&all[best]) {
			break
		}
		if last.beats(&all[best]) {
			best = len(all) - 1
		}
	}
	found := all[best].result
	if with, q := p.climb(all[best].at); with != p {
		found = with.report(q, o.SampleML > 0)
	}
	found.Points = read
	for i, c := range all {
		if i != best && c.counts(&all[best]) {
			found.hedge(c.result)
		}
	}
	found.doubt()
	if err := found.sensible(p.given > 0); err != nil {
		return nil, err
	}
	return found, nil
}

// candidate is a fit of so many constants.
type candidate struct {
	result *Result
	score  float64
	at     params
}

// beats reports whether the constant that it has more is believed in.
func (c *candidate) beats(best *candidate) bool { return c.score < best.score-better }

// hopeless reports whether more constants still will do no better.
func (c *candidate) hopeless(best *candidate) bool { return c.score > best.score+2*nearly }

// counts reports whether the points speak for it nearly as much as for the best.
func (c *candidate) counts(best *candidate) bool {
	return c.score < best.score+nearly && c.result.Left < mostLeft
}

// hedge widens what another fit that the points speak for nearly as much has
// otherwise.
func (r *Result) hedge(other *Result) {
	widen := func(v *Value, list []Value, within float64) {
		near := math.Inf(1)
		for _, x := range list {
			if d := math.Abs(x.Value - v.Value); d < math.Abs(near) {
				near = x.Value - v.Value
			}
		}
		if math.Abs(near) < within {
			v.SD = math.Hypot(v.SD, near)
		}
	}
	if r.Molar.SD > 0 {
		widen(&r.Molar, []Value{other.Molar}, math.Inf(1))
	}
	widen(&r.Excess, []Value{other.Excess}, math.Inf(1))
	widen(&r.Shift, []Value{other.Shift}, math.Inf(1))
	for i := range r.Ends {
		widen(&r.Ends[i], other.Ends, 0.03*r.Ends[i].Value)
	}
	for i := range r.Sites {
		s := &r.Sites[i]
		for _, x := range other.Sites {
			if math.Abs(x.PK.Value-s.PK.Value) < close {
				widen(&s.PK, []Value{x.PK}, close)
				widen(&s.MMol, []Value{x.MMol}, math.Inf(1))
				widen(&s.ML, []Value{x.ML}, math.Inf(1))
			}
		}
	}
}

// vague reports whether a constant of it cannot be told from nothing. Where water
// itself is titrated none can, and yet something may be needed there.
func (r *Result) vague() bool {
	for _, s := range r.Sites {
		if s.PK.Value < acidEdge || s.PK.Value > baseEdge {
			continue
		}
		if !s.ML.Told() || !(s.PK.SD < 1) || 2*s.ML.SD > s.ML.Value {
			return true
		}
	}
	return false
}

// Beyond these pK water takes as much as an acid does.
const acidEdge, baseEdge = 3.0, 10.8

// report puts the parameters into the words of a chemist. With the volume of the
// sample unknown, what becomes of everything when it is half or twice the usual one
// goes into the spreads.
func (p *problem) report(q params, sampled bool) *Result {
	r := p.describe(q)
	if p.given == 0 {
		r.loosen()
	}
	r.others(p, q)
	if sampled {
		return r
	}
	r.SampleSD = p.sample * (sampleFactor - 1)
	less, more := *p, *p
	less.sample, more.sample = p.sample/sampleFactor, p.sample*sampleFactor
	a, b := less.describe(less.refine(q, steps)), more.describe(more.refine(q, steps))
	widen := func(v *Value, low, high Value) {
		v.SD = math.Hypot(v.SD, math.Max(math.Abs(high.Value-v.Value), math.Abs(low.Value-v.Value)))
	}
	if p.given == 0 {
		widen(&r.Molar, a.Molar, b.Molar)
	}
	widen(&r.Excess, a.Excess, b.Excess)
	widen(&r.Shift, a.Shift, b.Shift)
	if n := len(r.Sites); len(a.Sites) == n && len(b.Sites) == n {
		for i := range r.Sites {
			s, low, high := &r.Sites[i], a.Sites[i], b.Sites[i]
			widen(&s.PK, low.PK, high.PK)
			widen(&s.MMol, low.MMol, high.MMol)
			widen(&s.ML, low.ML, high.ML)
		}
	}
	if n := len(r.Ends); len(a.Ends) == n && len(b.Ends) == n {
		for i := range r.Ends {
			widen(&r.Ends[i], a.Ends[i], b.Ends[i])
		}
	}
	return r
}

// others widens volumes by what they become when the constants change with the ionic
// strength along the curve (by how much they do, the charges of the acids say, which nobody
// knows), on a meter whose slope is another, and where a base as titrant has taken up carbon
// dioxide, as one of some weeks has.
func (r *Result) others(p *problem, q params) {
	salted, tilted, aged := *p, *p, *p
	if salted.salted = flat; p.salted == flat {
		salted.salted = acidic
	}
	tilted.slope, aged.carbon = slopeSD, carbonOfAge
	for i, with := range []*problem{&salted, &tilted, &aged} {
		if i == 0 && len(q.pk) == 0 || i == 2 && p.sign < 0 {
			continue
		}
		r.otherwise(with.describe(with.refine(q, steps)))
	}
}

// otherwise widens volumes by what they are in another description of the same curve.
func (r *Result) otherwise(s *Result) {
	widen := func(v *Value, x Value) { v.SD = math.Hypot(v.SD, x.Value-v.Value) }
	for i := range r.Ends {
		if len(s.Ends) == len(r.Ends) {
			widen(&r.Ends[i], s.Ends[i])
		}
	}
	for i := range r.Sites {
		if len(s.Sites) == len(r.Sites) {
			widen(&r.Sites[i].ML, s.Sites[i].ML)
			widen(&r.Sites[i].MMol, s.Sites[i].MMol)
		}
	}
}

// loosen widens what rests on the meter alone where nobody said how strong the
// titrant is: that the model of the curve fits does not make the meter right.
func (r *Result) loosen() {
	of := func(v *Value, sd float64) { v.SD = math.Hypot(v.SD, sd) }
	share := math.Ln10 * unheldSD
	of(&r.Shift, unheldSD)
	of(&r.Molar, share*r.Molar.Value)
	of(&r.Excess, share*r.Excess.Value)
	for i := range r.Sites {
		of(&r.Sites[i].PK, unheldSD)
		of(&r.Sites[i].MMol, share*r.Sites[i].MMol.Value)
	}
}

// describe is the parameters as a result, with the sample as it stands.
func (p *problem) describe(q params) *Result {
	cov := p.covariance(q)
	sd := func(i int) float64 { return math.Sqrt(math.Max(cov.at(i, i), 0)) }
	m := len(q.pk)
	r := &Result{Points: len(p.points), Acid: p.sign < 0, p: q, problem: *p, Ends: []Value{}, SampleML: p.sample,
		Molar: Value{q.molar, sd(0)}, Excess: Value{1e3 * q.excess, 1e3 * sd(1)}, Shift: Value{q.shift, sd(2 + 2*m)}}
	if p.given > 0 {
		r.Molar = Value{p.given, 0}
	}
	r.Sites = p.sites(q, cov)
	r.Ends = append(r.Ends, p.ends(q, cov)...)
	r.RMSPH, r.Left = p.rms(q), p.left(q)
	return r
}

// PH is the pH of the fitted curve at a volume of titrant, mL, as the meter shows it.
func (r *Result) PH(ml float64) float64 { return r.problem.ph(r.p, ml) }
