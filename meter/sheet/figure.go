package sheet

import (
	"cmp"
	"errors"
	"fmt"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/curve"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/prepare"
)

// Drawing is how a predicted curve is wanted.
type Drawing struct {
	Titrant string  // by its name in the plan; empty for the first that leads to the aim
	ToML    float64 // how far, mL; 0 for as far as is of use
	Points  int
	Ideal   bool // without activity coefficients
}

// Figure computes what is to be shown.
func (d Drawing) Figure(s *recipe.Setup) (*curve.Figure, error) {
	var opts []chem.Option
	note := fmt.Sprintf("predicted at %.4g °C in %.4g mL, one standard deviation for ordinary care", float64(s.BenchTemp), s.Start.Millilitres())
	if d.Ideal {
		opts, note = append(opts, chem.Ideal), note+"; ideal solution, no activities"
	}
	st, aim, err := d.choose(s, opts)
	if err != nil {
		return nil, err
	}
	c, err := curve.New(s.Beaker(s.BenchTemp), st.PerLitre(s.BenchTemp), opts...)
	if err != nil {
		return nil, err
	}
	fig := &curve.Figure{Title: s.Plan.Name, Titrant: st.Name, Note: note}
	fig.Target = &curve.Target{PH: aim.ph, Low: aim.ph - s.Tolerance, High: aim.ph + s.Tolerance, Volume: aim.volume}
	fig.Title = cmp.Or(fig.Title, "Predicted titration curve")
	end := chem.Volume(d.ToML) * chem.Millilitre
	if end == 0 {
		end = drawnTo(c, s, aim)
	}
	if aim.volume > end {
		fig.Target.Volume = -1
	}
	if fig.Points, err = c.Band(end, d.Points, curve.OrdinaryCare()); err != nil {
		return nil, err
	}
	fig.Marks, err = equivalences(c, end)
	return fig, err
}

// equivalences looks on a grid of its own, so that few points hide none.
func equivalences(c *curve.Curve, end chem.Volume) ([]curve.Equivalence, error) {
	fine, err := c.Points(end, 1001)
	if err != nil {
		return nil, err
	}
	return curve.Equivalences(fine), nil
}

// landing is where a titrant is to bring the beaker: the pH at the bench and
// the volume; a volume below zero where it does not lead there.
type landing struct {
	ph     float64
	volume chem.Volume
}

// choose is the titrant asked for, or the first that leads to the aim. A
// titrant that leads away from it is shown with the aim of one that does not.
func (d Drawing) choose(s *recipe.Setup, opts []chem.Option) (recipe.Stock, landing, error) {
	asked, first := -1, -1
	landings := make([]landing, len(s.Stocks))
	names := make([]string, len(s.Stocks))
	for i, st := range s.Stocks {
		names[i] = fmt.Sprintf("%q", st.Name)
		var err error
		if landings[i], err = aimWith(s, st, opts); err != nil {
			return st, landing{}, err
		}
		if first < 0 && landings[i].volume >= 0 {
			first = i
		}
		if strings.EqualFold(d.Titrant, st.Name) {
			asked = i
		}
	}
	switch {
	case d.Titrant != "" && asked < 0:
		return recipe.Stock{}, landing{}, fmt.Errorf("--titrant %q is not in the plan, which has %s", d.Titrant, strings.Join(names, ", "))
	case d.Titrant == "":
		asked = max(first, 0)
	}
	at := landings[asked]
	if at.volume < 0 && first >= 0 {
		at.ph = landings[first].ph
	}
	return s.Stocks[asked], at, nil
}

// aimWith is where the titrant is to bring the beaker so that, made up to the
// mark and at the temperature of use, it has the target pH. Where the titrant
// leads away from it, the aim is the target itself and the volume below zero.
func aimWith(s *recipe.Setup, st recipe.Stock, opts []chem.Option) (landing, error) {
	away := landing{ph: s.Target, volume: -1}
	dry := st.PerLitre(s.UseTemp)
	dry.Volume, dry.Water = 0, 0
	use, err := curve.New(s.InUse(), dry, opts...)
	if err != nil {
		return away, err
	}
	v, err := use.VolumeAt(s.Target)
	if errors.Is(err, curve.ErrUnreachable) {
		return away, nil
	}
	if err != nil {
		return away, err
	}
	bench, err := curve.New(s.Beaker(s.BenchTemp), st.PerLitre(s.BenchTemp), opts...)
	if err != nil {
		return away, err
	}
	ph, err := bench.PHAt(v)
	return landing{ph, v}, err
}

// drawnTo is how far the curve is drawn: past the last equivalence point where
// that is not far beyond the aim.
func drawnTo(c *curve.Curve, s *recipe.Setup, aim landing) chem.Volume {
	if aim.volume > 0 {
		for _, ph := range []float64{11.5, 2.6} {
			if v, err := c.VolumeAt(ph); err == nil && v > 1.1*aim.volume {
				return min(v, 6*aim.volume)
			}
		}
		return 2.5 * aim.volume
	}
	for _, ph := range []float64{11.5, 2.6} {
		if v, err := c.VolumeAt(ph); err == nil && v > 0 && v < s.Final {
			return v
		}
	}
	return max(s.Final-s.Start, s.Final/10)
}

// Sketch is the predicted curve of a draft as far as it is of use, with n points and
// no band; nil where there is none.
func Sketch(x *prepare.Draft, n int) *curve.Figure {
	s := x.Setup
	st, aim, err := Drawing{}.choose(s, nil)
	if err != nil || aim.volume <= 0 {
		return nil
	}
	c, err := curve.New(s.Beaker(s.BenchTemp), st.PerLitre(s.BenchTemp))
	if err != nil {
		return nil
	}
	points, err := c.Points(min(drawnTo(c, s, aim), 2*aim.volume), n)
	if err != nil {
		return nil
	}
	return &curve.Figure{Titrant: st.Name, Points: points,
		Target: &curve.Target{PH: aim.ph, Low: aim.ph - s.Tolerance, High: aim.ph + s.Tolerance, Volume: aim.volume}}
}
