package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/journal"
)

// Plate is who and what stood at the plate, by name; empty where nobody said.
type Plate struct {
	Operator    string   `json:"operator,omitempty"`
	Meter       string   `json:"meter,omitempty"`
	Electrode   string   `json:"electrode,omitempty"`
	Thermometer string   `json:"thermometer,omitempty"`
	Droppers    []string `json:"droppers,omitempty"`
}

// Finished is the reading of the finished solution, made up to its mark.
type Finished struct {
	PH     float64   `json:"ph"`
	TempC  *float64  `json:"temp_c,omitempty"`
	By     string    `json:"by,omitempty"`
	At     time.Time `json:"at"`
	Wanted float64   `json:"wanted"` // pH that the target has at the temperature of the reading
	InAim  bool      `json:"in_tolerance"`

	unmarked bool // nobody weighed it, so that there was no mark to make up to
}

// plate gathers the names, from notes first, then from what else says them.
func (rec *Record) plate(n journal.Note) {
	rec.Plate = Plate{Operator: n.Operator, Meter: n.Meter, Electrode: n.Electrode, Thermometer: n.Thermometer}
	rec.Plate.Operator = cmp.Or(rec.Plate.Operator, rec.Operator)
	for i := len(rec.Calibrations) - 1; i >= 0 && rec.Plate.Electrode == ""; i-- {
		rec.Plate.Electrode = rec.Calibrations[i].Electrode
	}
	if n.Dropper != "" {
		rec.Plate.Droppers = append(rec.Plate.Droppers, n.Dropper)
	}
	for _, st := range rec.run.End().Setup.Stocks {
		if st.DropperName != "" {
			rec.Plate.Droppers = append(rec.Plate.Droppers, st.DropperName)
		}
	}
	for _, w := range n.Weighed {
		for i := range rec.Weighed {
			if rec.Weighed[i].Reagent == w.Reagent {
				rec.Weighed[i].Taken, rec.Weighed[i].Lot = w.Grams, w.Lot
			}
		}
	}
	for _, l := range n.Bottles {
		for i := range rec.Titrants {
			if rec.Titrants[i].Name == l.Titrant {
				rec.Titrants[i].Lot = l.Lot
			}
		}
	}
}

// sameTemp is how near a temperature has to be to count as that of use, °C.
const sameTemp = 1.0

// finish takes the reading of the finished solution.
func (rec *Record) finish(m *journal.Making, at time.Time) {
	if m == nil {
		return
	}
	f := Finished{PH: m.PH, TempC: m.TempC, By: m.By, At: at, Wanted: rec.Target, unmarked: rec.Unweighed}
	s := rec.run.End().Setup
	if m.TempC != nil && math.Abs(*m.TempC-rec.UseTempC) > sameTemp {
		here, err1 := s.Bench(chem.Celsius(*m.TempC))
		use, err2 := s.Bench(s.UseTemp)
		if err1 == nil && err2 == nil {
			f.Wanted += here.Forecast().Aim - use.Forecast().Aim
		}
	}
	f.InAim = math.Abs(f.PH-f.Wanted) <= rec.Tolerance+1e-9
	rec.Finished = &f
}

// spread is the standard deviation of the pH read at the end: of the reading, and
// of the calibration where it is known.
func (rec *Record) spread() float64 {
	if rec.Read == nil {
		return math.NaN()
	}
	return math.Hypot(rec.Read.SD, rec.Review.Spread)
}

// Wanted is what the run was for: at the temperature of use, or the beaker as it is where
// nobody knows what is in it.
func (rec *Record) Wanted() string {
	where := fmt.Sprintf("at %.1f °C", rec.UseTempC)
	if rec.Unweighed {
		where = "in the beaker as it is"
	}
	return fmt.Sprintf("%.2f ± %g %s", rec.Target, rec.Tolerance, where)
}

// Expected is the pH in use that the last reading promises: with its spread where that of the
// calibration is known, which is most of it, and else in the digits of a meter.
func (rec *Record) Expected() string {
	if !(rec.Review.Spread > 0) {
		return fmt.Sprintf("%.2f", rec.InUse)
	}
	return known(rec.InUse, rec.spread())
}

// Failed is what is written across the label of a run that is not what was wanted;
// empty for one that is.
func (rec *Record) Failed() string {
	switch {
	case rec.Finished != nil && rec.Finished.InAim, rec.Finished == nil && rec.Read != nil && rec.InAim:
		if rec.Shifted() != "" {
			return "ELECTRODE OFF"
		}
		return ""
	case rec.Finished == nil && rec.Read == nil:
		return "NOT READ AT REST"
	}
	return "NOT WITHIN TOLERANCE"
}

// Where is what the finished solution was read at, in words.
func (f *Finished) Where() string {
	when := "after making up"
	if f.unmarked {
		when = "when it was finished"
	}
	if f.TempC == nil {
		return "read " + when + ", temperature not noted"
	}
	return fmt.Sprintf("read %s, at %.1f °C", when, *f.TempC)
}

// there is the temperature it was read at, in words.
func (f *Finished) there() string {
	if f.TempC == nil {
		return "there"
	}
	return fmt.Sprintf("at %.1f °C", *f.TempC)
}

// RunName tells the run from all others, and stays the same when something is put on record
// after its end: the beginning of the first sum of its journal; empty without one.
func (rec *Record) RunName() string { return shortSum(rec.First) }

// ShortSum is enough of a sum to tell two records apart by eye.
func (rec *Record) ShortSum() string { return shortSum(rec.Sum) }

// ids are the name of a run and the sum of its journal, as a label has them.
func ids(first, last string) string {
	if first == "" || first == last {
		return shortSum(last)
	}
	return shortSum(first) + ", sum " + shortSum(last)
}

func shortSum(sum string) string { return sum[:min(len(sum), 12)] }

// offMass is how far, relative, a mass may be from what was to be weighed before it is said.
const offMass = 0.01

// off is how much more was weighed than was to be, relative; 0 where nobody said.
func (w *Weighed) off() float64 {
	if !(w.Taken > 0 && w.Grams > 0) || math.Abs(w.Taken/w.Grams-1) <= offMass {
		return 0
	}
	return w.Taken/w.Grams - 1
}

// content is the amount at the mark, in words: by the mass, where another was weighed than
// the plan has.
func (w *Weighed) content() string {
	if off := w.off(); off != 0 {
		return fmt.Sprintf("%.3g mmol/L %s by the mass weighed (%.4g planned)", w.MMolar*(1+off), w.Reagent, w.MMolar)
	}
	return fmt.Sprintf("%.4g mmol/L %s", w.MMolar, w.Reagent)
}

// Contents are what it is made from, in words: the amounts at the mark, and what was
// given to bring it to its pH. A salt that was weighed is another one afterwards.
func (rec *Record) Contents() string {
	var parts, with, later []string
	for _, w := range rec.Weighed {
		if w.Late {
			later = append(later, w.content())
			continue
		}
		parts = append(parts, w.content())
	}
	for _, x := range rec.Titrants {
		if x.ML > 0 && !slices.Contains(with, x.Reagent) {
			with = append(with, x.Reagent)
		}
	}
	if len(parts) == 0 {
		return ""
	}
	out := "made from " + strings.Join(parts, ", ")
	if len(with) > 0 {
		out += ", brought to its pH with " + strings.Join(with, " and ")
	}
	if len(later) > 0 {
		out += "; then " + strings.Join(later, ", ")
	}
	return out
}

// Shifted is what the latest check in standards found of the electrode, where that is beyond
// the tolerance and beyond doubt; empty where it is not, where none was made, and once the
// finished solution was read, nobody knows with which electrode.
func (rec *Record) Shifted() string {
	n := len(rec.Verified)
	if n == 0 || rec.Finished != nil || rec.Verified[n-1].Verdict != calib.Refused {
		return ""
	}
	v := rec.Verified[n-1]
	if !(v.ShiftSD > 0) {
		return "the electrode did not stand its check in standards"
	}
	return fmt.Sprintf("the electrode was off by %+.2f ± %.2f by its check in standards", v.Shift, math.Max(v.ShiftSD, 0.01))
}

// LabelLines are the label in lines of text. A run that is not within its
// tolerance says so first and last.
func (rec *Record) LabelLines() []string {
	var out []string
	across := func() {
		if f := rec.Failed(); f != "" {
			out = append(out, "*** "+f+" ***")
		}
	}
	across()
	if rec.Lost != "" {
		out = append(out, "NOT WHOLE: the journal is damaged")
	}
	out = append(out, rec.Name)
	if c := rec.Contents(); c != "" {
		out = append(out, c)
	}
	switch f := rec.Finished; {
	case f != nil:
		out = append(out, fmt.Sprintf("pH %.2f, %s", f.PH, f.Where()))
		if !rec.Unweighed && math.Abs(f.Wanted-rec.Target) > 0.005 {
			out = append(out, fmt.Sprintf("pH %.2f at %.1f °C is %.2f %s", rec.Target, rec.UseTempC, f.Wanted, f.there()))
		}
	case rec.Read != nil && rec.Unweighed:
		out = append(out, fmt.Sprintf("pH %s read in the beaker, at %.1f °C", rec.Expected(), rec.Final.TempC))
	case rec.Read != nil:
		out = append(out, fmt.Sprintf("pH %s expected at %.1f °C, made up; not read after making up", rec.Expected(), rec.UseTempC))
	default:
		out = append(out, "pH not known")
	}
	if off := rec.Shifted(); off != "" {
		out = append(out, off)
	}
	out = append(out, "wanted "+rec.Wanted())
	made := "made " + rec.Begun.Format("2006-01-02")
	if rec.Plate.Operator != "" {
		made += " by " + rec.Plate.Operator
	}
	out = append(out, made, "use before ____________   run "+ids(rec.First, rec.Sum), "hazards, per the bottles' data sheets: ____________")
	across()
	return out
}
