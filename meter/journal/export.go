package journal

import (
	"encoding/csv"
	"fmt"
	"io"
	"iter"
	"strconv"
	"strings"
	"time"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/phrase"
)

// Beside is a further column of the additions: its name, and what it has of the addition
// whose event has a number; empty for nothing.
type Beside struct {
	Name string
	Of   func(seq int64) string
}

// WriteAdditions writes the additions of a run as CSV: seq, at (RFC 3339), t_s,
// titrant, drops (empty when it was not counted in drops), volume_ml, total_ml
// (of all titrants up to this row), entered_ml, status (kept, corrected or
// withdrawn) and reason, then the columns beside. Texts are those of intake.Cell. What was withdrawn stays as a row with a volume of 0.
//
// flaw is what is wrong with the journal; it becomes the last row, of status
// incomplete, so that nobody takes the table for the whole run.
func WriteAdditions(w io.Writer, events iter.Seq[Event], flaw string, beside ...Beside) error {
	out := csv.NewWriter(w)
	head := []string{"seq", "at", "t_s", "titrant", "drops", "volume_ml", "total_ml", "entered_ml", "status", "reason"}
	for _, b := range beside {
		head = append(head, b.Name)
	}
	out.Write(head)
	total := 0.0
	for _, d := range Doses(events) {
		total += d.Given.ML
		drops := ""
		if d.Given.Drops != 0 {
			drops = decimal(d.Given.Drops)
		}
		row := []string{strconv.FormatInt(d.Seq, 10), stamp(d.At), decimal(d.T), intake.Cell(d.Given.Titrant), drops,
			volume(d.Given.ML), volume(total), volume(d.Entered.ML), d.status(), intake.Cell(d.Reason)}
		for _, b := range beside {
			row = append(row, intake.Cell(b.Of(d.Seq)))
		}
		out.Write(row)
	}
	if flaw != "" {
		row := make([]string, len(head))
		row[8], row[9] = "incomplete", intake.Cell(flaw)
		out.Write(row)
	}
	return flush(out)
}

func (d *Dose) status() string {
	switch {
	case d.Withdrawn:
		return "withdrawn"
	case d.Corrected:
		return "corrected"
	}
	return "kept"
}

// WriteReadings writes the readings of a run as CSV: at (RFC 3339), t_s, ph,
// mv, temp_c, volume_ml (all titrant added before, corrections and undos
// carried out as if they had been known then), refused, and not_sent ("same" where the meter,
// which sends only what changes, was taken to show what it showed). A quantity that the
// meter did not send is empty. events is gone through twice.
//
// flaw is as in WriteAdditions; the last row has it as refused.
func WriteReadings(w io.Writer, events iter.Seq[Event], flaw string) error {
	out := csv.NewWriter(w)
	out.Write([]string{"at", "t_s", "ph", "mv", "temp_c", "volume_ml", "refused", "not_sent"})
	doses := Doses(events)
	total := 0.0
	for e := range events {
		if len(doses) > 0 && doses[0].Seq == e.Seq {
			total += doses[0].Given.ML
			doses = doses[1:]
		}
		r := e.Reading
		if r == nil {
			continue
		}
		mvDecimals := 0
		if r.PH == nil {
			mvDecimals = r.Decimals
		}
		out.Write([]string{stamp(e.At), decimal(e.T), sent(r.PH, r.Decimals), sent(r.MV, mvDecimals), sent(r.TempC, 0),
			volume(total), intake.Cell(r.Refused), notSent(r)})
	}
	if flaw != "" {
		out.Write([]string{"", "", "", "", "", "", intake.Cell("incomplete: " + flaw), ""})
	}
	return flush(out)
}

// notSent says of a reading that the meter sent nothing, since it showed the same still.
func notSent(r *Reading) string {
	if r.Same {
		return "same"
	}
	return ""
}

func flush(out *csv.Writer) error {
	out.Flush()
	if err := out.Error(); err != nil {
		return fmt.Errorf("journal: export: %w", err)
	}
	return nil
}

func stamp(at time.Time) string { return at.Format(time.RFC3339Nano) }

// decimal is a number in the fewest digits that give it back, never with an
// exponent, which spreadsheets read in their own ways.
func decimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// volume is mL to the nanolitre: sums of drops have no digits beyond.
func volume(ml float64) string { return decimal(phrase.Decimals(ml, 6)) }

// sent is a value of the meter with at least the decimals it was sent with, or
// nothing: 7.00 says more than 7.
func sent(v *float64, decimals int) string {
	if v == nil {
		return ""
	}
	s := decimal(*v)
	_, after, found := strings.Cut(s, ".")
	if missing := decimals - len(after); missing > 0 {
		if !found {
			s += "."
		}
		s += strings.Repeat("0", missing)
	}
	return s
}

// Dose is an addition as it stands at the end of a run, with what was entered
// at first.
type Dose struct {
	Seq       int64 // of the event that entered it
	At        time.Time
	T         float64  // s
	Given     Addition // what counts: as corrected last, nothing when withdrawn
	Entered   Addition
	Corrected bool
	Withdrawn bool
	Reason    string // of the last change
}

// Doses gathers the additions of a run in the order they were entered, with
// every correction and undo carried out. One that names no addition before it
// changes nothing; an undo is final.
func Doses(events iter.Seq[Event]) []Dose {
	var doses []Dose
	place := map[int64]int{}
	for e := range events {
		switch {
		case e.Added != nil:
			place[e.Seq] = len(doses)
			doses = append(doses, Dose{Seq: e.Seq, At: e.At, T: e.T, Given: *e.Added, Entered: *e.Added})
		case e.Undo != nil:
			if i, ok := place[e.Undo.Seq]; ok {
				doses[i].withdraw(e.Undo.Reason)
			}
		case e.Correct != nil:
			if i, ok := place[e.Correct.Seq]; ok && !doses[i].Withdrawn {
				doses[i].Given, doses[i].Corrected, doses[i].Reason = e.Correct.To, true, e.Correct.Reason
			}
		}
	}
	return doses
}

func (d *Dose) withdraw(reason string) {
	d.Withdrawn, d.Reason = true, reason
	d.Given = Addition{Titrant: d.Given.Titrant}
}
