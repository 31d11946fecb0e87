package main

import (
	"github.com/spf13/cobra"

	"example.org/halfdrop/tui/past"
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
