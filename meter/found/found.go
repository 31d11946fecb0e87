// Package found prints an amount that was found, by a run or from the log of another
// program, with the classical answers beside it.
package found

import (
	"cmp"
	"fmt"
	"io"
	"math"

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
	t := phrase.Columns(w)
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
			for _, x := range Classical(f.Classic) {
				fmt.Fprintf(t, "  %s\t%s\n", x.Name, cmp.Or(x.ML, "none: "+x.Why))
			}
			fmt.Fprintf(t, "  why they differ\t%s\n", f.Differ())
			continue
		}
		for _, x := range Classical(f.Each[i]) {
			if x.ML != "" {
				fmt.Fprintf(t, "  %s\t%s\n", x.Name, x.ML)
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

// Answer is what is read off a curve without a model: the volume, empty where the curve does
// not give one, and why it may not.
type Answer struct{ Name, ML, Why string }

// Classical are the classical answers in words, in the order of a notebook.
func Classical(c find.Classic) []Answer {
	return []Answer{{"steepest point", ml(c.Steepest), "too few readings"}, {"second difference", ml(c.Second), "too few readings"},
		{"Gran, before it", ml(c.Before), "too few readings from 40 to 97 %"}, {"Gran, after it", ml(c.After), "too few readings from 101 to 160 %"}}
}

func ml(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	return fmt.Sprintf("%.3f mL", x)
}
