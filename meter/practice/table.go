package practice

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"html/template"
	"io"
	"strconv"
	"strings"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/replay"
)

// columns are the columns of the table, units in their names.
var columns = []string{"file", "operator", "exercise", "seed", "coach", "points", "in_tolerance", "ph_final", "ph_target",
	"overshoots", "additions", "additions_limit", "additions_coach", "time_s", "time_limit_s", "time_coach_s", "asked", "begun", "flags"}

func (r Row) cells() []string {
	num := func(x float64, digits int) string { return strconv.FormatFloat(x, 'f', digits, 64) }
	begun := ""
	if !r.Begun.IsZero() {
		begun = r.Begun.Format("2006-01-02T15:04:05Z07:00")
	}
	return []string{intake.Cell(r.File), intake.Cell(r.Operator), intake.Cell(r.Exercise), strconv.FormatUint(r.Seed, 10), string(r.Coach), num(r.Points, 0),
		strconv.FormatBool(r.In), num(r.Final, 3), num(r.Target, 2), strconv.Itoa(r.Over), strconv.Itoa(r.Additions),
		strconv.Itoa(r.Limit.Additions), strconv.Itoa(r.Coached.Additions), num(r.Seconds, 0), num(r.Limit.Seconds, 0), num(r.Coached.Seconds, 0),
		strconv.Itoa(r.Asked), begun, intake.Cell(strings.Join(r.Flags, "; "))}
}

// WriteCSV writes the table with a header.
func (c Class) WriteCSV(out io.Writer) error {
	w := csv.NewWriter(out)
	w.Write(columns)
	for _, r := range c.Rows {
		w.Write(r.cells())
	}
	w.Flush()
	if err := w.Error(); err != nil {
		return fmt.Errorf("practice: %w", err)
	}
	return nil
}

// WriteText writes the table for a terminal.
func (c Class) WriteText(out io.Writer) error {
	fmt.Fprintf(out, "%-16s %-20s %6s  %-9s %4s  %-12s %-12s  %s\n", "operator", "exercise", "points", "in tol.", "over", "additions", "time", "flags")
	for _, r := range c.Rows {
		in := "no"
		if r.In {
			in = "yes"
		}
		_, err := fmt.Fprintf(out, "%-16.16s %-20.20s %6.0f  %-9s %4d  %-12s %-12s  %s\n", or(r.Operator, r.File), r.Exercise, r.Points, in, r.Over,
			fmt.Sprintf("%d (%d)", r.Additions, r.Limit.Additions), fmt.Sprintf("%s (%s)", replay.Clock(r.Seconds), replay.Clock(r.Limit.Seconds)), strings.Join(r.Flags, "; "))
		if err != nil {
			return fmt.Errorf("practice: %w", err)
		}
	}
	_, err := fmt.Fprintf(out, "%d runs; in brackets what who knew the bench would have needed\n", len(c.Rows))
	if err != nil {
		return fmt.Errorf("practice: %w", err)
	}
	return nil
}

func or(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

//go:embed class.html
var classPage string

var classTemplate = template.Must(template.New("class").Funcs(template.FuncMap{
	"clock": replay.Clock,
	"or":    or,
}).Parse(classPage))

// WriteHTML writes the table as one page that needs nothing else.
func (c Class) WriteHTML(out io.Writer) error {
	if err := classTemplate.Execute(out, c); err != nil {
		return fmt.Errorf("practice: %w", err)
	}
	return nil
}
