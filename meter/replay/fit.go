package replay

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
)

// A titration curve without a plan is fitted as a mixture of acids of one
// proton each, n_i mol with a constant pK_i, and an excess of strong base or
// acid. An acid of several protons shows as several of them (for separate
// steps the two descriptions are the same; close ones come out a little
// apart). All of it is done in charge: at a point of the curve
//
//	±C·V + excess + ([H⁺] − [OH⁻])·(V₀ + V) − Σ n_i/(1 + 10^(pK_i − pH)) = 0,
//
// which is linear in everything but the constants and needs no root finding.
// Constants are apparent: at the ionic strength of the sample, with pH as the
// meter showed it.

// FitOptions are what is known of the titration.
type FitOptions struct {
	SampleML float64      // mL titrated; 0 takes 50, and the strength cannot be had
	Molar    float64      // mol/L of the titrant, strong acid or base; 0 to fit it
	Acid     bool         // the titrant is an acid; otherwise as the curve goes
	Temp     chem.Celsius // 25 °C when 0
	MaxSites int          // most constants to look for; 4 when 0
}

// Value is a figure with its standard deviation.
type Value struct {
	Value float64 `json:"value"`
	SD    float64 `json:"sd"`
}

// MarshalJSON writes null for what is no number: a spread that could not be had.
func (v Value) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Value *float64 `json:"value"`
		SD    *float64 `json:"sd"`
	}{orNull(v.Value), orNull(v.SD)})
}

func orNull(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// Site is an acid of one proton in the sample.
type Site struct {
	PK   Value `json:"pk"`
	MMol Value `json:"mmol"`
}

// Fit is what a curve was found to be.
type Fit struct {
	Points   int      `json:"points"`
	Acid     bool     `json:"acid"`        // titrated with acid
	Molar    Value    `json:"molar"`       // of the titrant; SD 0 when it was given
	Excess   Value    `json:"excess_mmol"` // strong base in the sample, below zero acid
	Sites    []Site   `json:"sites"`
	Shift    Value    `json:"ph_shift"` // by which the meter was low
	Ends     []Value  `json:"equivalence_ml"`
	RMSPH    float64  `json:"rms_ph"` // of what is left, pH
	SampleML float64  `json:"sample_ml"`
	Notes    []string `json:"notes,omitempty"`
	p        params
}

// ErrFewPoints is returned when a curve has too few points for a fit.
var ErrFewPoints = errors.New("too few points for a fit")

// Figures of judgement, a choice of this project.
const (
	fewest    = 6
	readingSD = 0.02  // pH
	volumeSD  = 0.003 // of the largest volume
	shiftSD   = 0.15  // pH, how far a meter is expected to be off
)

// FitCurve fits one to MaxSites constants, none at all included, and keeps the
// number that the points speak for (Schwarz, Ann. Stat. 6, 461 (1978): from
// memory).
func FitCurve(points []Point, o FitOptions) (*Fit, error) {
	if len(points) < fewest {
		return nil, fmt.Errorf("replay: %w: %d of at least %d volumes", ErrFewPoints, len(points), fewest)
	}
	p := problem{points: points, sign: 1, sample: o.SampleML, strength: o.Molar, temp: o.Temp}
	if p.sample == 0 {
		p.sample = 50
	}
	if p.temp == 0 {
		p.temp = 25
	}
	if o.Acid || points[len(points)-1].PH < points[0].PH {
		p.sign = -1
	}
	most := o.MaxSites
	if most == 0 {
		most = 4
	}
	p.kw = chem.WaterPK(p.temp)
	best, bestScore := params{}, math.Inf(1)
	at := params{molar: math.Max(o.Molar, 0.1)}
	for m := 0; m <= most && p.unknowns(m) < len(points); m++ {
		at = p.add(at, m)
		score := p.score(at)
		if score < bestScore-2 {
			best, bestScore = at, score
		}
	}
	return p.report(best), nil
}

// report puts the parameters into the words of a chemist.
func (p *problem) report(q params) *Fit {
	cov := p.covariance(q)
	sd := func(i int) float64 { return math.Sqrt(math.Max(cov.at(i, i), 0)) }
	m := len(q.pk)
	f := &Fit{Points: len(p.points), Acid: p.sign < 0, SampleML: p.sample, p: q,
		Molar: Value{q.molar, sd(0)}, Excess: Value{1e3 * q.excess, 1e3 * sd(1)}, Shift: Value{q.shift, sd(2 + 2*m)}}
	if p.strength > 0 {
		f.Molar = Value{p.strength, 0}
	}
	for i := range q.pk {
		f.Sites = append(f.Sites, Site{PK: Value{q.pk[i], sd(2 + m + i)}, MMol: Value{1e3 * q.n[i], 1e3 * sd(2+i)}})
	}
	slices.SortFunc(f.Sites, func(a, b Site) int {
		if a.PK.Value < b.PK.Value {
			return -1
		}
		return 1
	})
	f.Ends = p.ends(q, cov)
	f.RMSPH = p.rms(q)
	return f
}

// ends are the volumes at which one site is used up before the next begins,
// as far as the points reach, with their spreads.
func (p *problem) ends(q params, cov matrix) []Value {
	m := len(q.pk)
	order := make([]int, m)
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		if (q.pk[a]-q.pk[b])*p.sign < 0 {
			return -1
		}
		return 1
	})
	last := p.points[len(p.points)-1].ML
	var out []Value
	for k := 0; k <= m; k++ {
		grad := make([]float64, cov.n) // of the charge to be given up to here
		q0 := -q.excess
		grad[1] = -1
		for i, site := range order {
			// Upwards the first k sites are titrated; downwards all sites begin
			// charged and the first k are discharged.
			if p.sign > 0 && i < k || p.sign < 0 && i >= k {
				q0 += q.n[site]
				grad[2+site] = 1
			}
		}
		v := q0 / (p.sign * q.molar)
		if !(v*1e3 > 0.02*last) || v*1e3 >= 0.99*last || !p.steep(q, v) {
			continue
		}
		for i := range grad {
			grad[i] /= p.sign * q.molar
		}
		grad[0] = -v / q.molar
		if p.strength > 0 {
			grad[0] = 0
		}
		out = append(out, Value{1e3 * v, 1e3 * math.Sqrt(math.Max(cov.quad(grad), 0))})
	}
	return out
}
