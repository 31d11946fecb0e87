package past

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"iter"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/report"
	"example.org/halfdrop/meter/textfile"
	"example.org/halfdrop/tui/terminal"
)

// Report is what is wanted of the record of a run: a page, or one of the others.
type Report struct {
	Out                      string // file; - is standard output
	CSV, Readings, SVG, JSON bool

	flaw    string // what is wrong with the journal
	damaged bool   // what stands after that is not in the record
}

// Make makes the record of a journal.
func (p *Report) Make(at Terminal, path string) error {
	kinds := 0
	for _, is := range []bool{p.CSV, p.Readings, p.SVG, p.JSON} {
		if is {
			kinds++
		}
	}
	if kinds > 1 {
		return remedy.Call(errors.New("--csv, --readings, --svg and --json exclude each other"), "run it once for each")
	}
	done := at.reading(path)
	write, err := p.Writer(path)
	done()
	if err != nil {
		return err
	}
	out := p.Out
	if out == "" && kinds == 0 && terminal.Is(at.Out) {
		out = strings.TrimSuffix(filepath.Base(path), filepath.Ext(path)) + ".html"
	}
	if out == "" || out == "-" {
		return cmp.Or(write(p.gate(at.Out)), flawed(path, p.flaw, p.damaged, at.Talk))
	}
	err = textfile.Create(out, p.Out != "", func(w io.Writer) error { return write(p.gate(w)) })
	if errors.Is(err, os.ErrExist) {
		err = remedy.With(fmt.Errorf("%s already exists", out), "name the file with --out FILE")
	}
	if err != nil {
		return err
	}
	fmt.Fprintf(at.Talk, "halfdrop: written to %s\n", out)
	return flawed(path, p.flaw, p.damaged, at.Talk)
}

// gate shows what could do something to a terminal or a page as what it is; JSON
// has its own way of that.
func (p *Report) gate(w io.Writer) io.Writer {
	if p.JSON {
		return w
	}
	return intake.NewWriter(w)
}

// Writer is what writes the kind of record asked for.
func (p *Report) Writer(path string) (func(io.Writer) error, error) {
	r, err := Open(path)
	if err != nil {
		return nil, err
	}
	p.flaw, p.damaged = r.Flaw(), r.Damaged()
	switch {
	case p.CSV:
		return func(w io.Writer) error { return journal.WriteAdditions(w, eventsOf(path), p.flaw, beside(r)...) }, nil
	case p.Readings:
		return func(w io.Writer) error { return journal.WriteReadings(w, eventsOf(path), p.flaw) }, nil
	}
	if f := report.NewFound(r); f != nil {
		switch {
		case p.SVG:
			return f.WriteCurve, nil
		case p.JSON:
			rec, _ := replay.FoundRecord(r)
			return func(w io.Writer) error { return textfile.JSON(w, rec) }, nil
		}
		return f.WritePage, nil
	}
	rec := report.New(r)
	switch {
	case p.SVG:
		return rec.WriteCurve, nil
	case p.JSON:
		return func(w io.Writer) error { return textfile.JSON(w, rec) }, nil
	}
	return rec.WritePage, nil
}

// beside is what the page has of each addition beside what was given: the pH before and
// after, where it was expected to go, by the order that was carried out or else by the label
// (no limits then), the charge that the readings speak for over that of the label, and what was ordered.
func beside(r *replay.Run) []journal.Beside {
	steps := map[int64]*replay.Step{}
	list := r.Review().Steps
	for i := range list {
		steps[list[i].Seq] = &list[i]
	}
	column := func(name string, of func(*replay.Step) string) journal.Beside {
		return journal.Beside{Name: name, Of: func(seq int64) string {
			if s := steps[seq]; s != nil && !s.Undone {
				return of(s)
			}
			return ""
		}}
	}
	number := func(name string, digits int, of func(*replay.Step) float64) journal.Beside {
		return column(name, func(s *replay.Step) string {
			if x := of(s); x != 0 && !math.IsNaN(x) && !math.IsInf(x, 0) {
				return strconv.FormatFloat(x, 'f', digits, 64)
			}
			return ""
		})
	}
	known := func(s *replay.Step, x float64) float64 {
		if s.Within == 0 || s.Within > 1 { // readings in a steep or flat place say nothing of it
			return 0
		}
		return x
	}
	return []journal.Beside{
		number("ph_before", 3, func(s *replay.Step) float64 { return s.Before.PH }),
		number("ph_after", 3, func(s *replay.Step) float64 { return s.After.PH }),
		number("ph_expected", 2, func(s *replay.Step) float64 { ph, _, _, _ := s.Expected(); return ph }),
		number("ph_low", 2, func(s *replay.Step) float64 { _, low, _, _ := s.Expected(); return low }),
		number("ph_high", 2, func(s *replay.Step) float64 { _, _, high, _ := s.Expected(); return high }),
		number("charge_per_label", 3, func(s *replay.Step) float64 { return known(s, s.Response) }),
		number("charge_per_label_sd", 3, func(s *replay.Step) float64 { return known(s, math.Max(s.Within, 0.001)) }),
		column("advised", func(s *replay.Step) string { return replay.AdviceText(s.Advised) }),
	}
}

// errEnough ends a scan whose events are no longer wanted.
var errEnough = errors.New("enough")

// eventsOf goes through the sound events of a journal, which was opened before.
func eventsOf(path string) iter.Seq[journal.Event] {
	return func(yield func(journal.Event) bool) {
		_, _ = journal.ScanFile(path, func(e journal.Event) error {
			if !yield(e) {
				return errEnough
			}
			return nil
		})
	}
}
