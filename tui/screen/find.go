package screen

import (
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/widget"
)

// Wanted is what a run is for, in words: a target, or what is looked for.
func Wanted(v view.View) string {
	f := v.Found
	switch {
	case f == nil && v.Unweighed:
		return "Target pH " + target(v) + " in the beaker as it is"
	case f == nil:
		return "Target pH " + target(v) + " in use at " + degrees(v.UseTemp)
	}
	switch f.What {
	case find.Strength:
		return "To find: the strength of " + f.Name + ", to " + f.Wanted()
	case find.Constant:
		return "To find: the pK and amount of the " + f.Name + ", to " + f.Wanted()
	}
	if f.What == find.Blank {
		return "To find: the blank, in mL of " + f.Name + ", to " + f.Wanted()
	}
	return "To find: how much " + f.Name + " there is, to " + f.Wanted()
}

// Heading is where a run stands, in words: its aim, or what is known so far.
func Heading(v view.View) string {
	f := v.Found
	switch {
	case f == nil:
		return "Aim " + aimNow(v)
	case f.Hidden:
		return "The answer is yours: enter it as a remark, " + answerForm(f)
	}
	text := fmt.Sprintf("So far %s, %s", f.Short(), f.Percent())
	if f.What == find.Blank {
		return "So far " + f.Words()
	}
	if f.Main >= 0 {
		text += "; equivalence " + f.Points()[f.Main]
	}
	return text
}

// answerForm is how an answer of one's own is written down.
func answerForm(f *view.Finding) string {
	switch f.What {
	case find.Strength:
		return `"answer 24.85 mL" or "answer 0.1012 mol/L"`
	case find.Constant:
		return `"answer 24.85 mL", and "answer pK 4.76"`
	}
	return `"answer 24.85 mL" or "answer 2.485 mmol"`
}

// aimText names the line across the curve.
func aimText(v view.View) string {
	if v.Found != nil && !math.IsNaN(v.Advice.Aim) {
		return "equivalence pH " + widget.Number(v.Advice.Aim, 1)
	}
	return "aim" // its number stands over the scale
}

// drawAnswer puts in the place of the lane what is known so far: the answer, how
// sure it is against what is wanted, and where the equivalence point lies.
func drawAnswer(s *widget.Sheet, r widget.Rect, st State) {
	f, set := st.View.Found, st.Set
	if f.Hidden {
		s.PutIn(r, 0, widget.Strong, widget.FirstFit(r.W, set, Wanted(st.View), thing(f)), set)
		s.PutIn(r, 1, widget.Plain, widget.FirstFit(r.W, set, "r, then your answer before the end: "+answerForm(f), "r, then "+answerForm(f), "r: your answer"), set)
		return
	}
	if st.View.Advice.Do != coach.Stop { // then the sentence above has the answer, and this row
		s.PutIn(r, 0, widget.Strong, widget.FirstFit(r.W, set, "so far: "+f.Words(), f.Words(), f.Short()), set)
	}
	text := fmt.Sprintf("known to %s, wanted %s ", f.Percent(), f.Wanted())
	x := s.PutIn(r, 1, widget.Plain, text, set)
	if left := r.X + r.W - x - 1; left >= 8 {
		s.PutIn(widget.Rect{X: x + 1, Y: r.Y + 1, W: left, H: 1}, 0, widget.Model, widget.Bar(sureness(f), min(left, 24), set), set)
	}
	s.PutIn(r, 2, widget.Aim, widget.FirstFit(r.W, set, equivalence(f)...), set)
}

// thing is what is looked for, in a word or two.
func thing(f *view.Finding) string {
	switch f.What {
	case find.Strength:
		return "strength"
	case find.Constant:
		return "pK, amount"
	case find.Blank:
		return "blank"
	}
	return "amount"
}

// sureness is how far the way from knowing a tenth to what is wanted has been gone,
// in the logarithm.
func sureness(f *view.Finding) float64 {
	begins := 0.1
	if f.What == find.Blank {
		begins = 1e-3 // L
	}
	rel := f.Relative()
	if !(rel > 0) || f.Goal >= begins {
		return 0
	}
	return min(max(math.Log(begins/rel)/math.Log(begins/f.Goal), 0), 1)
}

// equivalence are wordings of where the equivalence points lie, from long to short.
func equivalence(f *view.Finding) []string {
	switch {
	case f.What == find.Blank:
		return []string{"a blank may be nil, and needs no equivalence point", "needs no equivalence point"}
	case f.Main < 0:
		return []string{"no equivalence point in sight", "no end in sight"}
	}
	points := f.Points()
	side := ", not passed yet"
	if f.Passed {
		side = ", read on both sides"
	}
	all := "equivalence with " + f.Stock + ": " + strings.Join(points, "; ")
	one := "equivalence " + points[f.Main]
	return []string{all + side, all, one + side, one, points[f.Main]}
}

// turned is a cause in fewer letters: calibration of the meter is meter calibration.
func turned(cause string) string {
	what, rest, ok := strings.Cut(cause, " of the ")
	if !ok {
		return cause
	}
	of, value, _ := strings.Cut(rest, " ")
	return strings.TrimSpace(of + " " + what + " " + value)
}

// sought are the facts beside the curve: what is looked for and what limits it.
func sought(st State, w int) []inked {
	v, set := st.View, st.Set
	f := v.Found
	if f.Hidden {
		return []inked{{volume(v), widget.Plain, true, 2}}
	}
	first, _, _ := strings.Cut(f.Limit(), ",") // the largest cause
	lines := []inked{
		{widget.FirstFit(w, set, Wanted(v), "to find: "+thing(f)+", to "+f.Wanted(), thing(f)+" to "+f.Wanted()), widget.Plain, false, 1},
		{widget.FirstFit(w, set, "limited by "+f.Limit(), f.Limit(), "limited by "+first, first, "limited by "+turned(first), turned(first)), widget.Aim, false, 2},
		{volume(v), widget.Plain, true, 2},
	}
	if c := f.Classic; f.Main >= 0 && w >= 34 {
		var old []string
		for _, x := range []struct {
			name string
			ml   float64
		}{{"steepest", c.Steepest}, {"2nd difference", c.Second}, {"Gran before", c.Before}, {"after", c.After}} {
			if !math.IsNaN(x.ml) {
				old = append(old, x.name+" "+widget.Number(x.ml, 2))
			}
		}
		if len(old) > 0 {
			lines = append(lines, inked{widget.FirstFit(w, set, strings.Join(old, ", ")+" mL", strings.Join(old[:1], "")+" mL"), widget.Faint, false, 3})
		}
	}
	return lines
}
