package main

import (
	"errors"
	"fmt"
	"io"

	"example.org/halfdrop/chem/curve"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/sheet"
	"github.com/spf13/cobra"
)

// curveFlags are the choices of halfdrop curve.
type curveFlags struct {
	plan string
	svg  bool
	json bool
	sheet.Drawing
}

// newCurveCommand is halfdrop curve: the predicted titration curve of a plan.
func newCurveCommand() *cobra.Command {
	var f curveFlags
	cmd := &cobra.Command{
		Use:   "curve --plan FILE",
		Short: "The predicted titration curve of a plan",
		Long: `The pH that the meter is predicted to show against the volume of one titrant,
at the temperature of the beaker, as CSV, as JSON or as an SVG picture. The
band is one standard deviation for ordinary care: 4.3 % of titrant per beaker
and 0.03 pH. The aim is the pH at the bench that will be the target when made
up to the mark and at the temperature of use.`,
		Example: "  halfdrop curve --plan hepes.toml\n  halfdrop curve --plan hepes.toml --svg > curve.svg",
		Args:    cobra.NoArgs,
		RunE:    func(cmd *cobra.Command, _ []string) error { return runCurve(cmd, f) },
	}
	fl := cmd.Flags()
	fl.StringVar(&f.plan, "plan", "", "plan `file` (TOML)")
	fl.StringVar(&f.Titrant, "titrant", "", "`name` of the titrant in the plan; default: the first that leads to the aim")
	fl.Float64Var(&f.ToML, "to-ml", 0, "volume of titrant to draw up to, in mL")
	fl.IntVar(&f.Points, "points", 401, "number of points, 2 to 100000")
	fl.BoolVar(&f.svg, "svg", false, "draw an SVG picture instead of a table")
	fl.BoolVar(&f.json, "json", false, "print the points as JSON instead of a table")
	fl.BoolVar(&f.Ideal, "ideal", false, "leave activity coefficients out, to compare with textbooks")
	return cmd
}

func runCurve(cmd *cobra.Command, f curveFlags) error {
	if f.plan == "" {
		return usageError(errors.New("no plan"), "give one with --plan FILE")
	}
	if f.Points < 2 || f.Points > 100000 {
		return usageError(fmt.Errorf("--points %d: must be 2 to 100000", f.Points))
	}
	if cmd.Flags().Changed("to-ml") && !(f.ToML > 0 && f.ToML <= 1e6) {
		return usageError(fmt.Errorf("--to-ml %g: must be a volume above 0 mL", f.ToML))
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
	fig, err := f.Figure(s)
	if err != nil {
		return withHint(phrase.Plain(err))
	}
	switch {
	case f.svg && f.json:
		return usageError(errors.New("--svg and --json exclude each other"), "leave one out")
	case f.json:
		return curve.WriteJSON(cmd.OutOrStdout(), fig.Points)
	case f.svg:
		return fig.WriteSVG(cmd.OutOrStdout())
	}
	return paged(cmd, func(out io.Writer) error { return curve.WriteCSV(out, fig.Points) })
}
