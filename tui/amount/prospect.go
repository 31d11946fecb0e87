// Package amount is what is said of a run that determines an amount, before it and
// after: what is to be expected of its plan, its blank, what it has found and is
// remembered, repeats.
package amount

import (
	"fmt"
	"io"

	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/sheet"
	"example.org/halfdrop/meter/textfile"
)

// mostIndicators is how many indicators are named.
const mostIndicators = 2

// expect is what is to be expected of a determination: what its plan cannot reach, in
// words, how well the answer can be known, and the indicators that would do.
func expect(s *recipe.Setup) (words string, best find.Found, indicators []string, err error) {
	if words, best, err = s.Prospect(); err != nil {
		return
	}
	b, err := s.Bench(s.BenchTemp)
	if err != nil {
		return
	}
	g, _ := b.Guide.(*find.Bench)
	return words, best, g.Indicators(mostIndicators), nil
}

// Tell says what is to be expected of a determination.
func Tell(w io.Writer, s *recipe.Setup) error {
	words, best, by, err := expect(s)
	if err != nil {
		return err
	}
	t := phrase.Columns(w)
	fmt.Fprintf(t, "to find\t%s\n", sheet.Sought(s))
	for i, st := range best.Stations {
		if s.What == find.Blank {
			break // of water there is none to go by
		}
		mark := ""
		if i == best.Main {
			mark = ", the one to go by"
		}
		fmt.Fprintf(t, "equivalence point\tabout %.3g mL of %s, pH %.1f%s\n", st.Volume.Millilitres(), s.Stocks[st.Stock].Name, st.PH, mark)
	}
	in := func(x float64) string { return fmt.Sprintf("%.2g %%", 100*x) }
	if s.What == find.Blank {
		in = func(x float64) string { return fmt.Sprintf("%.2g mL", 1e3*x) }
		fmt.Fprintf(t, "titrant\ta few steps of %s, a few tenths of a mL\n", s.Stocks[0].Name)
	}
	if f := s.Plan.Find; f.BlankML != nil {
		fmt.Fprintf(t, "blank\t%s is subtracted\n", view.Spread(*f.BlankML, s.BlankSD(), "mL"))
	}
	of := ""
	if s.What == find.Blank {
		of = fmt.Sprintf(", where it is %g mL", find.UsualBlank.Millilitres())
	}
	fmt.Fprintf(t, "can be known to\t%s%s\n", in(best.Relative()), of)
	for i, c := range best.Causes {
		if i == 4 || c.SD < best.Relative()/20 {
			break
		}
		fmt.Fprintf(t, "\t%s of it %s\n", in(c.SD), c.Cause)
	}
	for _, x := range by {
		fmt.Fprintf(t, "by indicator\t%s\n", x)
	}
	if len(by) > 0 {
		fmt.Fprintf(t, "\tan end point judged by eye is common practice; the choice is yours\n")
	}
	if err := t.Flush(); err != nil {
		return err
	}
	if words != "" {
		fmt.Fprintf(w, "note: %s\n", words)
	}
	return nil
}

// Foretell says before a run what its plan cannot reach.
func Foretell(p recipe.Plan, talk io.Writer) error {
	if p.Find == nil {
		return nil
	}
	s, err := recipe.Compile(p)
	if err != nil {
		return err
	}
	words, _, err := s.Prospect()
	if err == nil && words != "" {
		fmt.Fprintf(talk, "halfdrop: note: %s\n", words)
	}
	return err
}

// pointJSON is an equivalence point that is expected.
type pointJSON struct {
	ML      float64 `json:"ml"`
	Titrant string  `json:"titrant"`
	PH      float64 `json:"ph"`
	Main    bool    `json:"main"` // the one to go by
}

// WriteJSON is Tell in JSON. sd_rel is a share of the answer; of a
// blank it is sd_ml, in mL.
func WriteJSON(out io.Writer, s *recipe.Setup) error {
	words, best, by, err := expect(s)
	if err != nil {
		return err
	}
	sd, in := "sd_rel", 1.0
	points := []pointJSON{}
	if s.What == find.Blank {
		sd, in = "sd_ml", 1e3
	} else {
		for i, st := range best.Stations {
			points = append(points, pointJSON{st.Volume.Millilitres(), s.Stocks[st.Stock].Name, st.PH, i == best.Main})
		}
	}
	causes := []map[string]any{}
	for _, c := range best.Causes {
		causes = append(causes, map[string]any{"cause": c.Cause, sd: in * c.SD})
	}
	return textfile.JSON(out, map[string]any{"to_find": sheet.Sought(s), "points": points, sd: in * best.Relative(), "causes": causes,
		"indicators": append([]string{}, by...), "note": words})
}
