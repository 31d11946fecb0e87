package foreign

import (
	"bufio"
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"example.org/halfdrop/chem/fit"
	"example.org/halfdrop/meter/foreign/heading"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/view"
)

// LogReview is what can be said of the log of another program.
type LogReview struct {
	Columns map[string]string `json:"columns"`
	Reading []Column          `json:"read_as"`
	Run     int               `json:"run,omitempty"`
	Runs    int               `json:"runs,omitempty"`
	Rows    int               `json:"rows"`
	Seconds float64           `json:"seconds,omitempty"`
	PHFrom  float64           `json:"ph_first"`
	PHTo    float64           `json:"ph_last"`
	ML      float64           `json:"ml,omitempty"`
	Notes   []string          `json:"notes"`
	Facts   []string          `json:"facts,omitempty"`
	Known   heading.Known     `json:"known"`
	Fit     *fit.Result       `json:"fit,omitempty"`
	FitSays []string          `json:"fit_notes,omitempty"`
	NoFit   string            `json:"no_fit,omitempty"` // why there is none
	Fastest *Change           `json:"fastest,omitempty"`
	Passed  *Passed           `json:"aim,omitempty"`   // where an aim that was asked for was passed
	Found   *Found            `json:"found,omitempty"` // of a plan that looks for an amount
	found   *view.Finding
	log     *Log
	asked   fit.Options
}

// Change is where a log moved fastest, per minute over half a minute.
type Change struct {
	T         float64 `json:"t"`
	PH        float64 `json:"ph"`
	PerMinute float64 `json:"ph_per_min"`
}

// Review describes the log and fits its curve when it has volumes. What the lines
// above the table say of strength and sample counts where o does not say it.
func (l *Log) Review(o fit.Options) LogReview {
	n := len(l.Rows)
	v := LogReview{Columns: l.Columns, Reading: l.Reading, Run: l.Run, Runs: l.Runs, Rows: n, PHFrom: l.Rows[0].PH, PHTo: l.Rows[n-1].PH,
		Notes: append([]string{}, l.Notes...), Facts: l.Facts, Known: l.Known, log: l}
	if t := l.Rows[n-1].T; !math.IsNaN(t) && t > 0 {
		v.Seconds = t
		v.Fastest = l.fastest()
	}
	if !l.HasVolume() {
		v.NoFit = "the log has no volumes, so there is no curve to fit (a column of volumes or drops: --volume, --drops)"
		return v
	}
	o.SampleML = cmp.Or(o.SampleML, l.Known.SampleML)
	o.Molar = cmp.Or(o.Molar, l.Known.Molar)
	warm := false
	o.Temp, warm = l.Temperature(o.Temp)
	v.asked = o
	points := l.Points()
	if len(points) > 0 {
		v.ML = points[len(points)-1].ML
	}
	if why := l.lost(); why != "" {
		v.NoFit = why
		return v
	}
	curve := fit.Curve
	if !warm {
		curve = atSomeTemperature
	}
	f, err := curve(points, o)
	if err != nil {
		v.NoFit = refused(err)
		return v
	}
	v.Fit, v.FitSays = f, advise(f, o)
	if !warm {
		v.FitSays = append(v.FitSays, coldOrWarm())
	}
	if l.Known.Acid && !f.Acid || l.Known.Base && f.Acid {
		v.FitSays = append(v.FitSays, fmt.Sprintf("by its name the titrant is %s, but the pH goes in the opposite direction: are the volumes those of the sample?",
			map[bool]string{true: "an acid", false: "a base"}[l.Known.Acid]))
	}
	return v
}

// refused is why there is no fit, without the room it comes from.
func refused(err error) string {
	var r *fit.Refusal
	if errors.As(err, &r) {
		return r.Why
	}
	return strings.TrimPrefix(err.Error(), "fit: ")
}

// mostLost is the share of rows with volumes that may be left out of a curve.
const mostLost = 0.3

// lost is why a log has no curve when its volumes go to and fro.
func (l *Log) lost() string {
	n, high, back := 0, math.Inf(-1), 0
	for _, r := range l.Rows {
		if math.IsNaN(r.ML) {
			continue
		}
		n++
		if r.ML < high {
			back++
		}
		high = math.Max(high, r.ML)
	}
	if float64(back) > mostLost*float64(n) {
		return fmt.Sprintf("in %d of %d rows the volume is smaller than before: that does not make a curve (--volume-is each or left, or another column: --volume)", back, n)
	}
	return ""
}

// advise notes what the fit rests on and what it does not say.
func advise(f *fit.Result, o fit.Options) (out []string) {
	note := func(format string, a ...any) { out = append(out, fmt.Sprintf(format, a...)) }
	if o.SampleML == 0 {
		note("the sample volume is not known (--sample-ml): the spreads hold for anything from %.0f to %.0f mL", f.SampleML/2, 2*f.SampleML)
	}
	if o.Molar == 0 {
		note("the strength of the titrant is not known (--molar): amounts rest on the meter's pH alone, as their spreads say; volumes do not")
	}
	if s := f.Shift; o.Molar > 0 && math.Abs(s.Value) > 2*s.SD && math.Abs(s.Value) > 0.05 {
		note("the meter seems to show %.2f too %s, if the titrant is as strong as given", math.Abs(s.Value), map[bool]string{true: "low", false: "high"}[s.Value > 0])
	}
	if f.Left > 0.1 {
		note("the residual is %.2f pH: the sample is not a mixture of a few acids at rest (gas exchange, precipitate, unsettled readings?)", f.Left)
	}
	for _, s := range f.Sites {
		if s.ML.Told() && (s.PK.Value < 2.5 || s.PK.Value > 11.5) {
			note("pK %.1f lies where water itself is titrated: its amount is little more than a guess", s.PK.Value)
		}
	}
	return out
}

// fastest is the steepest half minute; nil without times to tell it by.
func (l *Log) fastest() *Change {
	var best *Change
	j := 0
	for i := range l.Rows {
		for j < i && !(l.Rows[i].T-l.Rows[j].T <= 30) {
			j++
		}
		span := l.Rows[i].T - l.Rows[j].T
		if !(span >= 15) {
			continue
		}
		rate := (l.Rows[i].PH - l.Rows[j].PH) / span * 60
		if best == nil || math.Abs(rate) > math.Abs(best.PerMinute) {
			best = &Change{T: l.Rows[i].T, PH: l.Rows[i].PH, PerMinute: rate}
		}
	}
	return best
}

// WriteText prints the review for a person.
func (v *LogReview) WriteText(w io.Writer) error {
	b := bufio.NewWriter(w)
	fmt.Fprintf(b, "%d readings", v.Rows)
	if v.Seconds > 0 {
		fmt.Fprintf(b, " over %s", phrase.Clock(v.Seconds))
	}
	fmt.Fprintf(b, ", pH %.2f to %.2f", v.PHFrom, v.PHTo)
	if v.ML > 0 {
		fmt.Fprintf(b, ", %s mL of titrant", phrase.Number(v.ML))
	}
	fmt.Fprintln(b)
	v.log.writeHow(b)
	for _, s := range v.Facts {
		fmt.Fprintf(b, "above the table: %s\n", s)
	}
	if k := v.Known.Words(); k != "" {
		fmt.Fprintln(b, phrase.Hung("", "  ", "taken from there: "+k+" ("+v.Known.Flags()+" say otherwise)", 78))
	}
	for _, s := range v.Notes {
		fmt.Fprintln(b, phrase.Hung("", "  ", "note: "+s, 78))
	}
	if c := v.Fastest; c != nil {
		fmt.Fprintf(b, "it moved fastest at %s, at pH %.2f: %+.2f pH a minute\n", phrase.Clock(c.T), c.PH, c.PerMinute)
	}
	if v.Passed != nil {
		fmt.Fprintln(b, "\n"+phrase.Hung("", "  ", v.Passed.Words, 78))
	}
	switch {
	case v.Fit != nil:
		v.writeFit(b)
	case v.NoFit != "":
		if v.Passed != nil {
			fmt.Fprintln(b)
		}
		fmt.Fprintln(b, phrase.Hung("", "  ", "no fit: "+v.NoFit, 78))
	}
	if v.found != nil {
		if err := writeDetermined(b, v.found); err != nil {
			return err
		}
	}
	return b.Flush()
}

// fitRows are the fit, a line each: a name, and what is said of it; what its spread makes say
// nothing is said to be so.
func (v *LogReview) fitRows() (out [][2]string) {
	f := v.Fit
	row := func(name, format string, a ...any) { out = append(out, [2]string{name, fmt.Sprintf(format, a...)}) }
	switch {
	case v.asked.Molar > 0:
		row("titrant", "%s mol/L, as given", phrase.Number(f.Molar.Value))
	case f.Molar.Told():
		row("titrant", "%s mol/L", spread(f.Molar))
	default:
		row("titrant", "its strength cannot be told from this curve")
	}
	for _, s := range f.Sites {
		if !s.PKTold() && !s.ML.Told() {
			continue // it bends the curve, and says nothing else
		}
		amount := "how much cannot be told"
		switch {
		case s.MMol.Told() && s.ML.Told():
			amount = fmt.Sprintf("%s mmol, %s mL of titrant", spread(s.MMol), spread(s.ML))
		case s.ML.Told():
			amount = spread(s.ML) + " mL of titrant"
		}
		constant := spread(s.PK) + ":"
		if !s.PKTold() {
			constant = "not known:"
		}
		row("pK "+constant, "%s", amount)
	}
	if f.Excess.Told() {
		what := "strong base"
		if f.Excess.Value < 0 {
			what = "strong acid"
		}
		row(what, "%s mmol at the start", spread(fit.Value{Value: math.Abs(f.Excess.Value), SD: f.Excess.SD}))
	}
	ends := 0
	for _, e := range f.Ends {
		if e.Told() {
			row("equivalence at", "%s mL", spread(e))
			ends++
		}
	}
	switch {
	case len(f.Ends) == 0:
		row("no equivalence point within the volumes", "")
	case ends == 0:
		row("where the equivalence point is cannot be told from this curve", "")
	case ends < len(f.Ends):
		row("where another equivalence point is cannot be told from this curve", "")
	}
	if v.asked.Molar > 0 {
		row("meter correction", "%s", spread(f.Shift))
	}
	row("constants are apparent, at the ionic strength of the sample", "")
	return out
}

// fitted is what was fitted to.
func (v *LogReview) fitted() string {
	kind := map[bool]string{true: "an acid", false: "a base"}[v.Fit.Acid]
	return fmt.Sprintf("fitted over %d volumes, titrated with %s; residual %.3f pH", v.Fit.Points, kind, v.Fit.Left)
}

// writeFit prints the fit.
func (v *LogReview) writeFit(b *bufio.Writer) {
	fmt.Fprintf(b, "\n%s\n", v.fitted())
	for _, r := range v.fitRows() {
		fmt.Fprintln(b, strings.TrimRight(fmt.Sprintf("  %-18s %s", r[0], r[1]), " "))
	}
	for _, s := range v.FitSays {
		fmt.Fprintln(b, phrase.Hung("", "  ", "  note: "+s, 78))
	}
}

// spread is a value with its spread, in the digits that the spread leaves.
func spread(v fit.Value) string {
	if v.SD == 0 {
		return phrase.Number(v.Value)
	}
	return view.Spread(v.Value, v.SD, "")
}

// Lines are what is said of the log beside its curve: the fit, or why there is
// none, then what a person should know.
func (v *LogReview) Lines() (out []string) {
	say := func(words ...string) { out = append(out, strings.TrimSpace(strings.Join(words, " "))) }
	if v.Passed != nil {
		say(v.Passed.Words)
	}
	if v.Fit != nil {
		say(v.fitted())
		for _, r := range v.fitRows() {
			say(r[:]...)
		}
		for _, s := range v.FitSays {
			say("note:", s)
		}
	} else if v.NoFit != "" {
		say("no fit:", v.NoFit)
	}
	if v.found != nil {
		say("as a run would estimate it:", v.found.Words()+",", "known to", v.found.Percent())
		for _, p := range v.found.Points() {
			say("equivalence", p)
		}
		say("limited by", v.found.Limit())
	}
	if k := v.Known.Words(); k != "" {
		say("above the table:", k)
	}
	for _, n := range v.Notes {
		say("note:", n)
	}
	return out
}
