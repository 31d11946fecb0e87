package score

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/practice"
)

// Verdict is the result in a few words.
func (r Result) Verdict() string {
	switch {
	case r.Sought != nil && r.In:
		return "the answer is right"
	case r.Sought != nil && r.Sought.Said == "":
		return "no answer was given"
	case r.Sought != nil:
		return fmt.Sprintf("the answer is %.2g %% off", 100*r.Sought.Error)
	case len(r.Items) > 0 && r.Items[len(r.Items)-1].Name == practice.LookedFirst:
		if r.Additions > 0 {
			return "added to before it was checked"
		}
		return "checked, nothing added"
	case r.In && r.Over == 0:
		return "in tolerance, never past it"
	case r.In:
		return "in tolerance in the end"
	case r.Over > 0:
		return "past the target, not back"
	}
	return "the target was not reached"
}

// WriteText writes the debrief in lines of text.
func (r Result) WriteText(out io.Writer) error {
	w := bufio.NewWriter(out)
	fmt.Fprintf(w, "\n%s: %.0f of 100 points, %s\n", r.Title, r.Points, r.Verdict())
	for _, i := range r.Items {
		fmt.Fprintf(w, "  %4.3g of %2g  %s: %s\n", i.Got, i.Of, i.Name, i.Why)
	}
	fmt.Fprint(w, "By skill:")
	for n, k := range practice.Skills {
		if s, ok := r.Skills[k]; ok {
			fmt.Fprintf(w, " %s %.0f of %.0f%s", k, s.Got, s.Of, map[bool]string{true: ".", false: ","}[r.lastSkill(n)])
		}
	}
	fmt.Fprintln(w)
	fmt.Fprintln(w)
	for _, s := range r.Story {
		fmt.Fprintln(w, s)
	}
	if at := phrase.Clock(r.Moment.T); r.Moment.Lost && !strings.Contains(r.Moment.Words, "at "+at+" ") {
		fmt.Fprintf(w, "At %s: ", at)
	}
	fmt.Fprintln(w, r.Moment.Words)
	if len(r.Compare) > 0 {
		fmt.Fprintln(w, "Beside the coach:")
	}
	for _, c := range r.Compare {
		fmt.Fprintf(w, "  %6s  %s; the coach: %s; %s\n", phrase.Clock(c.T), c.Did, c.Coach, c.Verdict)
	}
	fmt.Fprintf(w, "To take away: %s\n", r.Learn)
	return w.Flush()
}

// lastSkill reports whether no skill after the n-th has points.
func (r Result) lastSkill(n int) bool {
	return !slices.ContainsFunc(practice.Skills[n+1:], func(k practice.Skill) bool { _, ok := r.Skills[k]; return ok })
}
