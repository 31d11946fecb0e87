package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"iter"
	"os"
	"path/filepath"
	"strings"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/report"
	"example.org/halfdrop/meter/textfile"
	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/past"
	"github.com/spf13/cobra"
)

func newReportCommand() *cobra.Command {
	p := &reporter{}
	c := &cobra.Command{
		Use:   "report FILE",
		Short: "The record of a run: one HTML page to print and keep, or tables and figures",
		Long: `Makes the record of a run from its journal: what was made, weighings, titrants,
calibration, curve, additions, final pH, corrections, cautions, and a label to
cut out, as one self-contained HTML page that prints on A4 and Letter.

Without --out the result goes to standard output; when that is a terminal, the
page goes to a file named after the journal, with .html.`,
		Example: "  halfdrop report run.jsonl --out run.html\n  halfdrop report run.jsonl --csv > additions.csv",
		Args:    cobra.ExactArgs(1),
		RunE:    func(cmd *cobra.Command, args []string) error { return p.run(cmd, args[0]) },
	}
	f := c.Flags()
	f.StringVarP(&p.out, "out", "o", "", "`file` to write")
	f.BoolVar(&p.csv, "csv", false, "the additions as a table (CSV)")
	f.BoolVar(&p.readings, "readings", false, "all readings as a table (CSV)")
	f.BoolVar(&p.svg, "svg", false, "the curve as a figure (SVG)")
	f.BoolVar(&p.json, "json", false, "the whole record as one JSON object")
	return c
}

// reporter is what the command line asks for.
type reporter struct {
	out                      string
	csv, readings, svg, json bool

	flaw    string // what is wrong with the journal
	damaged bool   // what stands after that is not in the record
}

func (p *reporter) run(cmd *cobra.Command, path string) error {
	kinds := 0
	for _, is := range []bool{p.csv, p.readings, p.svg, p.json} {
		if is {
			kinds++
		}
	}
	if kinds > 1 {
		return usageError(errors.New("--csv, --readings, --svg and --json exclude each other"), "run it once for each")
	}
	write, err := p.writer(path)
	if err != nil {
		return err
	}
	out := p.out
	if out == "" && kinds == 0 && tui.IsTerminal(cmd.OutOrStdout()) {
		out = strings.TrimSuffix(filepath.Base(path), filepath.Ext(path)) + ".html"
	}
	if out == "" || out == "-" {
		return cmp.Or(write(p.gate(cmd.OutOrStdout())), flawed(path, p.flaw, p.damaged, cmd.ErrOrStderr()))
	}
	err = textfile.Create(out, p.out != "", func(w io.Writer) error { return write(p.gate(w)) })
	if errors.Is(err, os.ErrExist) {
		err = withHint(fmt.Errorf("%s already exists", out), "name the file with --out FILE")
	}
	if err != nil {
		return err
	}
	fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: written to %s\n", out)
	return flawed(path, p.flaw, p.damaged, cmd.ErrOrStderr())
}

// gate shows what could do something to a terminal or a page as what it is; JSON
// has its own way of that.
func (p *reporter) gate(w io.Writer) io.Writer {
	if p.json {
		return w
	}
	return intake.NewWriter(w)
}

// writer is what writes the kind of record asked for.
func (p *reporter) writer(path string) (func(io.Writer) error, error) {
	r, err := past.Open(path)
	if err != nil {
		return nil, err
	}
	p.flaw, p.damaged = r.Flaw(), r.Damaged()
	switch {
	case p.csv:
		return func(w io.Writer) error { return journal.WriteAdditions(w, eventsOf(path), p.flaw) }, nil
	case p.readings:
		return func(w io.Writer) error { return journal.WriteReadings(w, eventsOf(path), p.flaw) }, nil
	}
	if f := report.NewFound(r); f != nil {
		switch {
		case p.svg:
			return f.WriteCurve, nil
		case p.json:
			rec, _ := replay.FoundRecord(r)
			return func(w io.Writer) error { return textfile.JSON(w, rec) }, nil
		}
		return f.WritePage, nil
	}
	rec := report.New(r)
	switch {
	case p.svg:
		return rec.WriteCurve, nil
	case p.json:
		return func(w io.Writer) error { return textfile.JSON(w, rec) }, nil
	}
	return rec.WritePage, nil
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
