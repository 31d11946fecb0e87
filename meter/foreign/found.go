package foreign

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/fit"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/found"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/view"
)

// Figures of the log of somebody else, a choice of this project.
const (
	logReading = 0.03 // pH, of a reading of which nobody says how long it was waited for
	logPoints  = 120  // of a curve that are enough to say what it says
	logLate    = 0.1  // of a step in pH, that may not have been waited for
)

// ErrNoCurve is returned where a log has no volumes to compute with.
var ErrNoCurve = errors.New("the log has no volumes")

// Determine is the answer that a log gives on a plan that looks for an amount: the
// estimate is that of a run, over the whole curve, at the temperature that was said or that
// the log has; where neither, at that of the plan.
func (l *Log) Determine(s *recipe.Setup, said chem.Celsius) (*view.Finding, error) {
	points := thinned(l.Points())
	if len(points) < 2 {
		return nil, fmt.Errorf("foreign: %w", ErrNoCurve)
	}
	temp, known := l.Temperature(said)
	if !known {
		temp = s.BenchTemp
	}
	b, err := s.Bench(temp)
	if err != nil {
		return nil, fmt.Errorf("foreign: %w", err)
	}
	g, ok := b.Guide.(*find.Bench)
	if !ok {
		return nil, errors.New("foreign: the plan is for a pH, not for an amount")
	}
	var h coach.History
	last, before := 0.0, points[0].PH
	for _, p := range points {
		if v := chem.Volume(p.ML-last) * chem.Millilitre; v > 0 {
			a := coach.Addition{Volume: v}
			if !s.Stocks[0].ByML {
				a.Drops = float64(v / s.Stocks[0].Drop)
			}
			h.Additions, last = append(h.Additions, a), p.ML
		}
		h.Observations = append(h.Observations, coach.Observation{After: len(h.Additions), PH: p.PH, SD: logSD(p.PH - before)})
		before = p.PH
	}
	f := view.FindingOf(g, s, h)
	if f == nil || f.Main < 0 {
		return nil, errors.New("foreign: the curve fits no amount of the substance named")
	}
	return f, nil
}

// logSD is the spread of a reading after such a step of the pH.
func logSD(step float64) float64 { return math.Hypot(logReading, logLate*step) }

// Scaled widens the spread of an amount by that of the titrant's strength, relative, of
// which the readings were to say nothing.
func Scaled(f *view.Finding, sd float64) {
	rel := math.Hypot(f.Relative(), sd)
	f.MolarSD = f.Molar * math.Hypot(f.MolarSD/math.Max(f.Molar, 1e-300), sd)
	f.SD = f.Value * rel
	f.Causes = append(f.Causes, find.Spread{Cause: find.OfStrength, SD: sd})
	slices.SortStableFunc(f.Causes, func(a, b find.Spread) int { return cmp.Compare(b.SD, a.SD) })
}

// thinned are the points of a curve, where it has very many of them: at equal steps of
// volume and of pH together.
func thinned(p []fit.Point) []fit.Point {
	n := len(p)
	if n <= logPoints {
		return p
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, x := range p {
		low, high = math.Min(low, x.PH), math.Max(high, x.PH)
	}
	step := func(a, b fit.Point) float64 {
		return (math.Abs(b.PH-a.PH)/(high-low) + (b.ML-a.ML)/(p[n-1].ML-p[0].ML)) / 2
	}
	out := p[:1:1]
	for _, x := range p[1 : n-1] {
		if step(out[len(out)-1], x) >= 1.0/logPoints {
			out = append(out, x)
		}
	}
	return append(out, p[n-1])
}

// Steepest is the volume, mL, at which a log is steepest, over a hundredth of its volume
// at least; NaN without volumes.
func (l *Log) Steepest() float64 {
	p := l.Points()
	best, at := 0.0, math.NaN()
	for i, j := 0, 0; i < len(p); i++ {
		for j < i-1 && p[i].ML-p[j].ML > p[len(p)-1].ML/50 {
			j++ // the point before at least
		}
		if w := p[i].ML - p[j].ML; w >= p[len(p)-1].ML/100 {
			if s := math.Abs(p[i].PH-p[j].PH) / w; s > best {
				best, at = s, (p[i].ML+p[j].ML)/2
			}
		}
	}
	return at
}

// writeDetermined prints the answer of a log.
func writeDetermined(w io.Writer, f *view.Finding) error {
	fmt.Fprintf(w, "\nas a run would estimate it, from the whole curve with all its spreads:\n%s\n", f.Words())
	t := phrase.Columns(w)
	fmt.Fprintf(t, "known to\t%s\n", f.Percent())
	found.Beside(t, f)
	if f.Carbonate > muchCarbonate {
		fmt.Fprintf(t, "note\tan old base holds that much carbonate; readings taken too soon after each addition, or a wrong slope of the meter, look the same\n")
	}
	switch {
	case f.Misfit > wrong:
		fmt.Fprintf(t, "CHECK\tthe readings scatter %.1f times as much as they should: another substance, volumes that mean something else, or a meter that is badly off\n", math.Sqrt(f.Misfit))
	case f.Misfit > misfitting:
		fmt.Fprintf(t, "note\tthe readings scatter %.1f times as much as they should; the spread is widened to match\n", math.Sqrt(f.Misfit))
	}
	return t.Flush()
}

// muchCarbonate is mol per mol of base from which on something else may look like it (choice).
const muchCarbonate = 0.03

// χ² over the number of readings from which on a scatter is told, and from which on a run
// would ask what is wrong.
const (
	misfitting = 2.0
	wrong      = 16.0
)

// Found is an answer for programs.
type Found struct {
	Name    string      `json:"name"`
	Value   float64     `json:"value"` // mol/L of a bottle, mol of a substance
	SD      float64     `json:"sd"`
	PK      *float64    `json:"pk,omitempty"`
	PKSD    *float64    `json:"pk_sd,omitempty"`
	Molar   float64     `json:"sample_mol_per_litre,omitempty"`
	MolarSD float64     `json:"sample_sd,omitempty"`
	Points  []fit.Value `json:"equivalence_ml"`
	Misfit  float64     `json:"misfit"` // χ² over the number of readings
}

// Tell puts the answer of a plan that looks for an amount beside the review.
func (v *LogReview) Tell(f *view.Finding) {
	v.found = f
	v.Found = &Found{Name: f.Name, Value: f.Value, SD: f.SD, Molar: f.Molar, MolarSD: f.MolarSD, Misfit: f.Misfit}
	if f.What == find.Constant {
		v.Found.PK, v.Found.PKSD = &f.PK, &f.PKSD
	}
	v.Found.Points = phrase.Each(f.Stations, func(s find.Station) fit.Value {
		return fit.Value{Value: s.Volume.Millilitres(), SD: s.SD.Millilitres()}
	})
}
