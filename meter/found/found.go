// Package found prints an amount that was found, by a run or from the log of another
// program, with the classical answers beside it.
package found

import (
	"fmt"
	"io"
	"math"
	"text/tabwriter"

	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/view"
)

// Write prints the answer of a run that looked for an amount, with the classical
// answers beside it.
func Write(w io.Writer, f *view.Finding) error {
	if _, err := fmt.Fprintf(w, "%s\n", f.Words()); err != nil {
		return err
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "known to\t%s, %s was wanted\n", f.Percent(), f.Wanted())
	Beside(t, f)
	return t.Flush()
}

// Beside prints what stands beside an answer, into a tab writer: what limits it, the
// equivalence points with their classical answers, carbonate, the shift of the meter.
func Beside(t io.Writer, f *view.Finding) {
	fmt.Fprintf(t, "limited by\t%s\n", f.Limit())
	for i, p := range f.Points() {
		fmt.Fprintf(t, "equivalence point\t%s\n", p)
		if i == f.Main {
			c := f.Classic
			fmt.Fprintf(t, "  steepest point\t%s\n", mlOr(c.Steepest, "too few readings"))
			fmt.Fprintf(t, "  second difference\t%s\n", mlOr(c.Second, "too few readings"))
			fmt.Fprintf(t, "  Gran, before it\t%s\n", mlOr(c.Before, "too few readings from 40 to 97 %"))
			fmt.Fprintf(t, "  Gran, after it\t%s\n", mlOr(c.After, "too few readings from 101 to 160 %"))
			fmt.Fprintf(t, "  why they differ\t%s\n", f.Differ())
			continue
		}
		for _, x := range []struct {
			name string
			ml   float64
		}{{"steepest point", f.Each[i].Steepest}, {"second difference", f.Each[i].Second}, {"Gran, before it", f.Each[i].Before}, {"Gran, after it", f.Each[i].After}} {
			if !math.IsNaN(x.ml) {
				fmt.Fprintf(t, "  %s\t%.3f mL\n", x.name, x.ml)
			}
		}
	}
	if f.Carbonate > 0 {
		fmt.Fprintf(t, "carbonate in the base\t%s of it\n", view.Spread(100*f.Carbonate, 100*f.CarbonateSD, "%"))
	}
	if f.What == find.Blank {
		return // water says nothing of the meter
	}
	shift := fmt.Sprintf("%+.3f", f.Shift)
	if shift == "-0.000" {
		shift = "0.000"
	}
	fmt.Fprintf(t, "the meter reads\t%s ± %.3f pH off there\n", phrase.Minus(shift), f.ShiftSD)
}

func mlOr(x float64, why string) string {
	if math.IsNaN(x) {
		return "none: " + why
	}
	return fmt.Sprintf("%.3f mL", x)
}
