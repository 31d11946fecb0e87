package replay

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
)

// LogReview is what can be said of the log of another program.
type LogReview struct {
	Columns map[string]string `json:"columns"`
	Rows    int               `json:"rows"`
	Seconds float64           `json:"seconds,omitempty"`
	PHFrom  float64           `json:"ph_first"`
	PHTo    float64           `json:"ph_last"`
	ML      float64           `json:"ml,omitempty"`
	Notes   []string          `json:"notes"`
	Facts   []string          `json:"facts,omitempty"`
	Fit     *Fit              `json:"fit,omitempty"`
	NoFit   string            `json:"no_fit,omitempty"` // why there is none
	Fastest *Change           `json:"fastest,omitempty"`
}

// Change is where a log without volumes moved fastest, per minute over half a minute.
type Change struct {
	T         float64 `json:"t"`
	PH        float64 `json:"ph"`
	PerMinute float64 `json:"ph_per_min"`
}

// Review describes the log and fits its curve when it has volumes.
func (l *Log) Review(o FitOptions) LogReview {
	n := len(l.Rows)
	v := LogReview{Columns: l.Columns, Rows: n, PHFrom: l.Rows[0].PH, PHTo: l.Rows[n-1].PH, Notes: l.Notes, Facts: l.Facts}
	if t := l.Rows[n-1].T; !math.IsNaN(t) {
		v.Seconds = t
		v.Fastest = l.fastest()
	}
	if !l.HasVolume() {
		v.NoFit = "the log has no volumes, so there is no curve to fit (a column of volumes or drops: --volume, --drops)"
		return v
	}
	points := l.Points()
	if len(points) > 0 {
		v.ML = points[len(points)-1].ML
	}
	f, err := FitCurve(points, o)
	if err != nil {
		v.NoFit = strings.TrimPrefix(err.Error(), "replay: ")
		return v
	}
	f.advise(o)
	v.Fit = f
	return v
}

// advise notes what the fit rests on and what it does not say.
func (f *Fit) advise(o FitOptions) {
	note := func(s string) { f.Notes = append(f.Notes, s) }
	if o.SampleML == 0 {
		note("the sample volume was taken as 50 mL: give it with --sample-ml, as strengths and constants near either end of the scale rest on it")
	}
	if o.Molar == 0 {
		note("the strength of the titrant was fitted, by the pH far from the ends; give it with --molar to have amounts as exact as the volumes")
	}
	if math.Abs(f.Shift.Value) > 2*f.Shift.SD && math.Abs(f.Shift.Value) > 0.05 {
		note(fmt.Sprintf("the meter seems to show %.2f too %s, if the titrant is as strong as said", math.Abs(f.Shift.Value), map[bool]string{true: "low", false: "high"}[f.Shift.Value > 0]))
	}
	if f.RMSPH > 0.1 {
		note(fmt.Sprintf("what is left over is %.2f of pH: the sample is not a mixture of a few acids at rest (gas exchange, precipitate, unsettled readings?)", f.RMSPH))
	}
	for _, s := range f.Sites {
		if s.PK.Value < 2.5 || s.PK.Value > 11.5 {
			note(fmt.Sprintf("pK %.1f lies where water itself is titrated: its amount is little more than a guess", s.PK.Value))
		}
	}
}

// fastest is the steepest half minute.
func (l *Log) fastest() *Change {
	var best *Change
	j := 0
	for i := range l.Rows {
		for j < i && l.Rows[i].T-l.Rows[j].T > 30 {
			j++
		}
		span := l.Rows[i].T - l.Rows[j].T
		if span < 15 {
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
		fmt.Fprintf(b, " over %s", Clock(v.Seconds))
	}
	fmt.Fprintf(b, ", pH %.2f to %.2f", v.PHFrom, v.PHTo)
	if v.ML > 0 {
		fmt.Fprintf(b, ", %s mL of titrant", number(v.ML))
	}
	fmt.Fprintln(b)
	var cols []string
	for q, name := range v.Columns {
		cols = append(cols, fmt.Sprintf("%s from %q", q, name))
	}
	slices.Sort(cols)
	fmt.Fprintf(b, "columns: %s\n", strings.Join(cols, ", "))
	for _, s := range v.Facts {
		fmt.Fprintf(b, "above the table: %s\n", s)
	}
	for _, s := range v.Notes {
		fmt.Fprintf(b, "note: %s\n", s)
	}
	if c := v.Fastest; c != nil {
		fmt.Fprintf(b, "fastest at %s, pH %.2f: %+.2f a minute\n", Clock(c.T), c.PH, c.PerMinute)
	}
	switch {
	case v.Fit != nil:
		v.Fit.write(b)
	case v.NoFit != "":
		fmt.Fprintf(b, "no fit: %s\n", v.NoFit)
	}
	return b.Flush()
}

func (f *Fit) write(b *bufio.Writer) {
	kind := map[bool]string{true: "an acid", false: "a base"}[f.Acid]
	fmt.Fprintf(b, "\nfitted over %d volumes as titrated with %s; left over %.3f of pH\n", f.Points, kind, f.RMSPH)
	fmt.Fprintf(b, "  titrant        %s mol/L\n", spread(f.Molar, 4))
	for _, s := range f.Sites {
		fmt.Fprintf(b, "  pK %-12s %s mmol\n", spread(s.PK, 2), spread(s.MMol, 4))
	}
	excess := "strong base"
	if f.Excess.Value < 0 {
		excess = "strong acid"
	}
	fmt.Fprintf(b, "  %s at the start  %s mmol\n", excess, spread(Value{math.Abs(f.Excess.Value), f.Excess.SD}, 4))
	for _, e := range f.Ends {
		fmt.Fprintf(b, "  equivalence at %s mL\n", spread(e, 3))
	}
	if len(f.Ends) == 0 {
		fmt.Fprintln(b, "  no equivalence point shows within the volumes")
	}
	fmt.Fprintf(b, "  constants are apparent, at the ionic strength of the sample; meter shifted by %s\n", spread(f.Shift, 2))
	for _, s := range f.Notes {
		fmt.Fprintln(b, fold("  note: "+s, 78))
	}
}

// spread is a value with its spread, when there is one.
func spread(v Value, digits int) string {
	if v.SD == 0 {
		return number(v.Value)
	}
	return fmt.Sprintf("%.*f ± %.*f", digits, v.Value, digits, v.SD)
}
