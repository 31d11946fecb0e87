package main

import (
	"math"

	"example.org/halfdrop/tui/past"
	"github.com/spf13/cobra"
)

func newReportCommand() *cobra.Command {
	p := &past.Report{}
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
		RunE:    func(cmd *cobra.Command, args []string) error { return p.Make(lookingBack(cmd), args[0]) },
	}
	f := c.Flags()
	f.StringVarP(&p.Out, "out", "o", "", "`file` to write")
	f.BoolVar(&p.CSV, "csv", false, "the additions as a table (CSV), with what was expected of each and what it brought")
	f.BoolVar(&p.Readings, "readings", false, "all readings as a table (CSV)")
	f.BoolVar(&p.SVG, "svg", false, "the curve as a figure (SVG)")
	f.BoolVar(&p.JSON, "json", false, "the whole record as one JSON object")
	return c
}

func newLabelCommand() *cobra.Command {
	l := &past.Label{}
	c := &cobra.Command{
		Use:   "label FILE",
		Short: "The label of a run, with the reading after making up",
		Long: `Prints the label of a run. A label carries what was read of the finished solution,
made up to its mark and mixed: --read puts that reading into the journal, as an
event of its own after the end of the run. On a terminal it is asked for if there is
none yet; an empty line leaves it open, and the label says so.

A solution that was not read within its tolerance has that written across its
label. The label of a run that determined an amount is that of the bottle, or of the
sample: the answer with its spread and its date.`,
		Example: "  halfdrop label run.jsonl --read 7.41 --temp 4.0 --by AB\n  halfdrop label run.jsonl",
		Args:    cobra.ExactArgs(1),
		RunE:    func(cmd *cobra.Command, args []string) error { return l.Make(lookingBack(cmd), args[0]) },
	}
	f := c.Flags()
	f.Float64Var(&l.PH, "read", math.NaN(), "`pH` of the finished solution, made up and mixed")
	f.Float64Var(&l.TempC, "temp", math.NaN(), "temperature at which it was read, `°C`")
	f.StringVar(&l.By, "by", "", "`name` of who read it")
	return c
}
