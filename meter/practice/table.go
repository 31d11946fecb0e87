package practice

import (
	"bufio"
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
func columns() []string {
	out := []string{"file", "operator", "exercise", "number", "step", "attempt", "seed", "coach", "speed", "points", "in_tolerance", "ph_final", "ph_target",
		"tolerance", "overshoots", "additions", "additions_limit", "additions_coach", "time_s", "time_limit_s", "time_coach_s", "asked", "named", "ended", "begun",
		"digest", "dearest", "flags"}
	for _, k := range Skills {
		out = append(out, "skill_"+k.Short()+"_points", "skill_"+k.Short()+"_of")
	}
	for _, key := range aspectKeys() {
		out = append(out, key+"_points", key+"_of", key+"_why")
	}
	return append(out, "looked_for", "unit", "value_true", "pk_true", "said", "error_pct", "value_by_readings", "value_by_readings_sd")
}

// sought are the cells of what was looked for; empty where a pH was.
func (r Row) sought() []string {
	d := r.Sought
	if d == nil {
		return make([]string, 8)
	}
	num := func(x float64) string {
		if x == 0 {
			return ""
		}
		return strconv.FormatFloat(x, 'g', 6, 64)
	}
	off := ""
	if d.Error < 1 {
		off = strconv.FormatFloat(100*d.Error, 'f', 3, 64)
	}
	return []string{intake.Cell(d.Name), d.Unit, num(d.Value), num(d.PK), intake.Cell(d.Said), off, num(d.Found), num(d.SD)}
}

func (r Row) cells() []string {
	num := func(x float64, digits int) string { return strconv.FormatFloat(x, 'f', digits, 64) }
	begun := ""
	if !r.Begun.IsZero() {
		begun = r.Begun.Format("2006-01-02T15:04:05Z07:00")
	}
	final, target, tolerance := num(r.Final, 3), num(r.Target, 2), brief(r.Tolerance)
	least, quickest := strconv.Itoa(r.Limit.Additions), num(r.Limit.Seconds, 0)
	if r.Sought != nil { // no pH was looked for, and who knows the answer needs nothing
		final, target, tolerance, least, quickest = "", "", "", "", ""
	}
	out := []string{intake.Cell(r.File), intake.Cell(r.Operator), intake.Cell(r.Exercise), strconv.Itoa(r.Number), strconv.Itoa(r.Level), strconv.Itoa(r.Attempt),
		strconv.FormatUint(r.Seed, 10), string(r.Coach), num(r.Speed, 1), num(r.Points, 0),
		strconv.FormatBool(r.In), final, target, tolerance, strconv.Itoa(r.Over), strconv.Itoa(r.Additions),
		least, strconv.Itoa(r.Coached.Additions), num(r.Seconds, 0), quickest, num(r.Coached.Seconds, 0),
		strconv.Itoa(r.Asked), intake.Cell(strings.Join(r.Named, "; ")), strconv.FormatBool(r.Ended), begun, r.Digest, intake.Cell(r.Moment.Words), intake.Cell(strings.Join(r.Flags, "; "))}
	for _, k := range Skills {
		if s, ok := r.Skills[k]; ok {
			out = append(out, num(s.Got, 1), num(s.Of, 1))
		} else {
			out = append(out, "", "")
		}
	}
	for _, key := range aspectKeys() {
		cells := []string{"", "", ""}
		for _, i := range r.Items {
			if i.Key == key {
				cells = []string{num(i.Got, 1), num(i.Of, 1), intake.Cell(i.Why)}
			}
		}
		out = append(out, cells...)
	}
	return append(out, r.sought()...)
}

// WriteCSV writes the table with a header.
func (c Class) WriteCSV(out io.Writer) error {
	w := csv.NewWriter(out)
	w.Write(columns())
	for _, r := range c.Rows {
		w.Write(r.cells())
	}
	w.Flush()
	if err := w.Error(); err != nil {
		return fmt.Errorf("practice: %w", err)
	}
	return nil
}

// part is a share in per cent, or a dash.
func part(s Share, ok bool) string {
	if !ok || s.Of <= 0 {
		return "-"
	}
	return fmt.Sprintf("%.0f", 100*s.Part())
}

// WriteText writes the table for a terminal: a row a run, by skill in per cent, the
// middle of the class under each exercise, and what half of it has missed.
func (c Class) WriteText(out io.Writer) error {
	w := bufio.NewWriter(out)
	row := func(who, what, try, points string, cells []string, rest string) {
		line := fmt.Sprintf("%-16.16s %-22.22s %3s %6s ", who, what, try, points)
		for _, c := range cells {
			line += fmt.Sprintf(" %7s", c)
		}
		fmt.Fprintln(w, strings.TrimRight(line+"  "+rest, " "))
	}
	var heads []string
	for _, k := range Skills {
		heads = append(heads, k.Short())
	}
	row("pupil", "exercise", "try", "points", heads, "flags")
	medians := map[string]Median{}
	for _, m := range c.Medians() {
		medians[m.Exercise] = m
	}
	var flags []string
	for i, r := range c.Rows {
		mark := ""
		if len(r.Flags) > 0 {
			flags = append(flags, fmt.Sprintf("%s, %s: %s", r.Who(), r.File, strings.Join(r.Flags, "; ")))
			if mark = fmt.Sprintf("(%d)", len(flags)); r.Who() == r.File {
				flags[len(flags)-1] = fmt.Sprintf("%s: %s", r.File, strings.Join(r.Flags, "; "))
			}
		}
		var cells []string
		for _, k := range Skills {
			s, ok := r.Skills[k]
			cells = append(cells, part(s, ok))
		}
		row(r.Who(), r.Exercise, strconv.Itoa(r.Attempt), fmt.Sprintf("%.0f", r.Points), cells, mark)
		m, ok := medians[r.Exercise]
		if last := i+1 == len(c.Rows) || c.Rows[i+1].Exercise != r.Exercise; last && ok && m.Pupils > 1 {
			var mid []string
			for _, k := range Skills {
				s, ok := m.Skills[k]
				mid = append(mid, part(Share{s, 1}, ok))
			}
			row("median of "+strconv.Itoa(m.Pupils), r.Exercise, fmt.Sprintf("%.2g", m.Tries), fmt.Sprintf("%.0f", m.Points), mid, "")
		}
	}
	fmt.Fprintf(w, "%d runs; skills in per cent of their points; the median uses each pupil's best attempt\n", len(c.Rows))
	for i, f := range flags {
		fmt.Fprintf(w, "(%d) %s\n", i+1, f)
	}
	if c.Others > 0 {
		fmt.Fprintf(w, "%d other journals in the folder are not practice runs\n", c.Others)
	}
	if gaps := c.Missed(); len(gaps) > 0 {
		fmt.Fprintln(w, "What at least half of the class missed:")
		for _, g := range gaps {
			fmt.Fprintf(w, "  %d of %d  %s, %s: %s\n", g.Missed, g.Of, g.Exercise, g.Item, or(g.Keep, "no advice"))
		}
	}
	if err := w.Flush(); err != nil {
		return fmt.Errorf("practice: %w", err)
	}
	return nil
}

// WriteText writes the page of a pupil.
func (p Pupil) WriteText(out io.Writer) error {
	w := bufio.NewWriter(out)
	fmt.Fprintf(w, "%s: %s\n", p.Who, plural(len(p.Rows), "run"))
	for _, k := range Skills {
		if x, ok := p.Standing.Skills[k]; ok {
			fmt.Fprintf(w, "  %3.0f %%  %s\n", 100*x, k)
		}
	}
	fmt.Fprintf(w, "Next: %s\n", p.Next)
	for _, r := range p.Rows {
		fmt.Fprintf(w, "\n%s  %s, attempt %d: %.0f points, %s\n", r.Begun.Format("2006-01-02 15:04"), r.Title, r.Attempt, r.Points, r.Verdict())
		for _, f := range r.Flags {
			fmt.Fprintf(w, "  FLAG: %s\n", f)
		}
		for _, i := range r.Items {
			fmt.Fprintf(w, "  %5.3g of %4.3g  %s: %s\n", i.Got, i.Of, i.Name, i.Why)
		}
		if r.Moment.Words != "" {
			fmt.Fprintf(w, "  %s\n", r.Moment.Words)
		}
	}
	if err := w.Flush(); err != nil {
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
	"clock":  replay.Clock,
	"or":     or,
	"part":   func(r Row, k Skill) string { s, ok := r.Skills[k]; return part(s, ok) },
	"middle": func(m Median, k Skill) string { s, ok := m.Skills[k]; return part(Share{s, 1}, ok) },
	"stands": func(s Standing, k Skill) string { x, ok := s.Skills[k]; return part(Share{x, 1}, ok) },
	"skills": func() []Skill { return Skills },
}).Parse(classPage))

// WriteHTML writes the table as one page that needs nothing else.
func (c Class) WriteHTML(out io.Writer) error {
	if err := classTemplate.Execute(out, c); err != nil { // the page asks for medians, gaps and pupils itself
		return fmt.Errorf("practice: %w", err)
	}
	return nil
}
