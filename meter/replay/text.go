package replay

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/view"
)

// WriteText prints the review for a person, 80 columns wide where the names
// allow it.
func (v *Review) WriteText(w io.Writer) error {
	b := bufio.NewWriter(w)
	v.head(b)
	wide := 5
	for i := range v.Steps {
		wide = max(wide, len(phrase.Clock(v.Steps[i].T)))
	}
	fmt.Fprintf(b, "\n%*s  %-34s %8s %8s  %s\n", wide, "time", "added", "before", "after", "advised then")
	for i := range v.Steps {
		v.Steps[i].row(b, wide)
	}
	if len(v.Steps) == 0 {
		fmt.Fprintln(b, "  nothing was added")
	}
	fmt.Fprintln(b)
	for _, o := range v.Over {
		fmt.Fprintln(b, phrase.Hung("", "  ", "OVERSHOOT. "+o.Words, 78))
	}
	if len(v.Over) == 0 {
		fmt.Fprintln(b, "No overshoot was found.")
	}
	v.rest(b)
	return b.Flush()
}

func (v *Review) head(b *bufio.Writer) {
	fmt.Fprintln(b, v.Name)
	fmt.Fprintf(b, "%s, %s", v.Begun.Format("2 January 2006 15:04 -0700"), phrase.Clock(v.Seconds))
	if v.Operator != "" {
		fmt.Fprintf(b, ", %s", v.Operator)
	}
	if v.Source != "" {
		fmt.Fprintf(b, ", %s", v.Source)
	}
	where := fmt.Sprintf("at %.1f °C, aim %.2f on the meter", v.UseTempC, v.Aim)
	if v.Unweighed {
		where = "in the beaker as it is"
	}
	fmt.Fprintf(b, "\ntarget pH %.2f ± %g %s", v.Target, v.Tolerance, where)
	switch {
	case math.IsNaN(v.Final.PH):
		fmt.Fprintln(b, "; no reading")
	case v.Read == nil:
		fmt.Fprintln(b, "; not read at rest")
	case v.InAim:
		fmt.Fprintf(b, "; read %.2f at rest, within the tolerance\n", v.Read.PH)
	default:
		fmt.Fprintf(b, "; read %.2f at rest, %.2f off\n", v.Read.PH, math.Abs(v.Read.PH-v.Aim))
	}
	for _, g := range v.Gaps {
		fmt.Fprintf(b, "%s  %s without readings\n", phrase.Clock(g.T), phrase.Away(g.Seconds))
	}
	if v.Lost != "" {
		fmt.Fprintln(b, phrase.Hung("", "  ", "NOT WHOLE: "+v.Lost, 78))
	}
}

func (v *Review) rest(b *bufio.Writer) {
	for _, m := range v.Spotted {
		fmt.Fprintln(b, phrase.Hung("", "  ", phrase.Clock(m.T)+"  seen in the readings: "+m.Text, 78))
	}
	for _, m := range v.Checks {
		fmt.Fprintln(b, phrase.Hung("", "  ", phrase.Clock(m.T)+"  electrode "+m.Text, 78))
	}
	for _, m := range v.Remarks {
		fmt.Fprintln(b, phrase.Hung("", "  ", phrase.Clock(m.T)+"  remark: "+m.Text, 78))
	}
	switch {
	case v.Ended:
		fmt.Fprintf(b, "Closed: %s.\n", v.Outcome)
	case v.Lost != "":
		fmt.Fprintln(b, "Whether the run was closed is not in the part that is shown.")
	default:
		by := "titrate"
		if v.Practised {
			by = "practice"
		}
		fmt.Fprintf(b, "The run was not closed; halfdrop %s --resume continues it.\n", by)
	}
}

func (s *Step) row(b *bufio.Writer, wide int) {
	added := s.Amount()
	if s.Undone {
		added = "(" + added + ", withdrawn)"
	}
	fmt.Fprintf(b, "%*s  %-34s %8s %8s  %s\n", wide, phrase.Clock(s.T), added, s.Before.Text("-"), s.After.Text("-"), AdviceText(s.Advised))
	if s.Entered != "" {
		fmt.Fprintf(b, "%*s  %s\n", wide, "", strings.TrimSuffix("first recorded as "+s.Entered+": "+s.Reason, ": "))
	} else if s.Undone && s.Reason != "" {
		fmt.Fprintf(b, "%*s  withdrawn: %s\n", wide, "", s.Reason)
	}
}

// Amount is what was added, in words.
func (s *Step) Amount() string {
	return view.Amount(s.Drops, chem.Volume(s.ML)*chem.Millilitre) + " of " + s.Titrant
}

// Text is the pH it was settling to, about where it was not at rest; none where it is not
// known.
func (s Standing) Text(none string) string {
	switch {
	case math.IsNaN(s.PH) || s.T == 0 && s.PH == 0:
		return none
	case s.Settled || s.SD <= 0.02:
		return fmt.Sprintf("%.2f", s.PH)
	}
	return fmt.Sprintf("~%.2f", s.PH)
}

// AdviceText is an advice in a few words.
func AdviceText(a journal.Advice) string {
	switch a.Do {
	case "add":
		return "add " + view.Amount(a.Drops, chem.Volume(a.ML)*chem.Millilitre) + " of " + a.Titrant
	case "stop":
		return "stop"
	case "check":
		if len(a.Named) > 0 {
			return "check: this looks like " + strings.Join(a.Named, ", or ")
		}
	}
	return a.Do + ": " + strings.ReplaceAll(a.Reason, "_", " ")
}
