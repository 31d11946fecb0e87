package main

import (
	"errors"
	"fmt"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/curve"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/planfile"
	"github.com/spf13/cobra"
)

// curveFlags are the choices of halfdrop curve.
type curveFlags struct {
	plan, titrant string
	toML          float64
	points        int
	svg, ideal    bool
}

// newCurveCommand is halfdrop curve: the predicted titration curve of a plan.
func newCurveCommand() *cobra.Command {
	var f curveFlags
	cmd := &cobra.Command{
		Use:   "curve --plan FILE",
		Short: "The predicted titration curve of a plan",
		Long: `The pH that the meter is predicted to show against the volume of one titrant,
at the temperature of the beaker, as CSV or as an SVG picture. The band is one
standard deviation for ordinary care: 4.3 % of titrant per beaker and 0.03 pH.
The aim is the pH at the bench that will be the target when made up to the mark
and at the temperature of use.`,
		Example: "  halfdrop curve --plan hepes.toml\n  halfdrop curve --plan hepes.toml --svg > curve.svg",
		Args:    cobra.NoArgs,
		RunE:    func(cmd *cobra.Command, _ []string) error { return runCurve(cmd, f) },
	}
	fl := cmd.Flags()
	fl.StringVar(&f.plan, "plan", "", "plan `file` (TOML)")
	fl.StringVar(&f.titrant, "titrant", "", "`name` of the titrant in the plan; the first that leads to the aim without it")
	fl.Float64Var(&f.toML, "to-ml", 0, "volume of titrant to draw up to, in mL")
	fl.IntVar(&f.points, "points", 401, "number of points, 2 to 100000")
	fl.BoolVar(&f.svg, "svg", false, "draw an SVG picture instead of a table")
	fl.BoolVar(&f.ideal, "ideal", false, "leave activity coefficients out, to compare with textbooks")
	return cmd
}

func runCurve(cmd *cobra.Command, f curveFlags) error {
	if f.plan == "" {
		return usageError(errors.New("no plan"), "give one with --plan FILE")
	}
	if f.points < 2 || f.points > 100000 {
		return usageError(fmt.Errorf("--points %d: 2 to 100000 are wanted", f.points))
	}
	if cmd.Flags().Changed("to-ml") && !(f.toML > 0 && f.toML <= 1e6) {
		return usageError(fmt.Errorf("--to-ml %g: a volume above 0 mL is wanted", f.toML))
	}
	p, err := planfile.Load(f.plan)
	if err != nil {
		return err
	}
	s, err := recipe.Compile(p)
	if err != nil {
		return err
	}
	if s.Unweighed() {
		return usageError(errors.New("the plan does not say what is in the beaker: there is no curve to compute"), "add what was weighed in with [[weighed]]")
	}
	fig, err := f.figure(s)
	if err != nil {
		return withHint(phrase.Plain(err))
	}
	if f.svg {
		return fig.WriteSVG(cmd.OutOrStdout())
	}
	return curve.WriteCSV(cmd.OutOrStdout(), fig.Points)
}

// figure computes what is to be shown.
func (f curveFlags) figure(s *recipe.Setup) (*curve.Figure, error) {
	var opts []chem.Option
	note := fmt.Sprintf("predicted at %.4g °C in %.4g mL, one standard deviation for ordinary care", float64(s.BenchTemp), s.Start.Millilitres())
	if f.ideal {
		opts, note = append(opts, chem.Ideal), note+"; ideal solution, no activities"
	}
	st, aim, err := f.choose(s, opts)
	if err != nil {
		return nil, err
	}
	c, err := curve.New(s.Beaker(s.BenchTemp), st.PerLitre(s.BenchTemp), opts...)
	if err != nil {
		return nil, err
	}
	fig := &curve.Figure{Title: s.Plan.Name, Titrant: st.Name, Note: note}
	fig.Target = &curve.Target{PH: aim.ph, Low: aim.ph - s.Tolerance, High: aim.ph + s.Tolerance, Volume: aim.volume}
	if fig.Title == "" {
		fig.Title = "Predicted titration curve"
	}
	end := chem.Volume(f.toML) * chem.Millilitre
	if end == 0 {
		end = drawnTo(c, s, aim)
	}
	if aim.volume > end {
		fig.Target.Volume = -1
	}
	if fig.Points, err = c.Band(end, f.points, curve.OrdinaryCare()); err != nil {
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
func (f curveFlags) choose(s *recipe.Setup, opts []chem.Option) (recipe.Stock, landing, error) {
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
		if strings.EqualFold(f.titrant, st.Name) {
			asked = i
		}
	}
	switch {
	case f.titrant != "" && asked < 0:
		return recipe.Stock{}, landing{}, fmt.Errorf("--titrant %q is not in the plan, which has %s", f.titrant, strings.Join(names, ", "))
	case f.titrant == "":
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
