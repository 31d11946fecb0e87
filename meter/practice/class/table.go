package class

import (
	"bufio"
	"cmp"
	_ "embed"
	"encoding/csv"
	"fmt"
	"html/template"
	"io"
	"strconv"
	"strings"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/score"
)

// columns are the columns of the table, units in their names.
func columns() []string {
	out := []string{"file", "operator", "exercise", "number", "step", "attempt", "seed", "coach", "speed", "points", "in_tolerance", "ph_final", "ph_target",
		"tolerance", "overshoots", "additions", "additions_limit", "additions_coach", "time_s", "time_limit_s", "time_coach_s", "asked", "named", "ended", "begun",
		"digest", "dearest", "flags"}
	for _, k := range practice.Skills {
		out = append(out, "skill_"+k.Short()+"_points", "skill_"+k.Short()+"_of")
	}
	for _, key := range practice.AspectKeys() {
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
		return phrase.Number(x)
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
	final, target, tolerance := num(r.Final, 3), num(r.Target, 2), phrase.Digits(r.Tolerance, 3)
	least, quickest := strconv.Itoa(r.Limit.Additions), num(r.Limit.Seconds, 0)
	if r.Sought != nil { // no pH was looked for, and who knows the answer needs nothing
		final, target, tolerance, least, quickest = "", "", "", "", ""
	}
	out := []string{intake.Cell(r.File), intake.Cell(r.Operator), intake.Cell(r.Exercise), strconv.Itoa(r.Number), strconv.Itoa(r.Level), strconv.Itoa(r.Attempt),
		strconv.FormatUint(r.Seed, 10), string(r.Coach), num(r.Speed, 1), num(r.Points, 0),
		strconv.FormatBool(r.In), final, target, tolerance, strconv.Itoa(r.Over), strconv.Itoa(r.Additions),
		least, strconv.Itoa(r.Coached.Additions), num(r.Seconds, 0), quickest, num(r.Coached.Seconds, 0),
		strconv.Itoa(r.Asked), intake.Cell(strings.Join(r.Named, "; ")), strconv.FormatBool(r.Ended), begun, r.Digest, intake.Cell(r.Moment.Words), intake.Cell(strings.Join(r.Flags, "; "))}
	for _, k := range practice.Skills {
		if s, ok := r.Skills[k]; ok {
			out = append(out, num(s.Got, 1), num(s.Of, 1))
		} else {
			out = append(out, "", "")
		}
	}
	for _, key := range practice.AspectKeys() {
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
		return fmt.Errorf("class: %w", err)
	}
	return nil
}

// part is a share in per cent, or a dash.
func part(s score.Share, ok bool) string {
	if !ok || s.Of <= 0 {
		return "-"
	}
	return fmt.Sprintf("%.0f", 100*s.Part())
}

// WriteText writes the page of a pupil.
func (p Pupil) WriteText(out io.Writer) error {
	w := bufio.NewWriter(out)
	fmt.Fprintf(w, "%s: %s\n", p.Who, phrase.Counted(len(p.Rows), "run"))
	for _, k := range practice.Skills {
		if x, ok := p.Standing.Skills[k]; ok {
			fmt.Fprintf(w, "  %3.0f %%  %s\n", 100*x, k)
		}
	}
	hang(w, "Next: ", p.Next)
	for _, r := range p.Rows {
		fmt.Fprintf(w, "\n%s  %s, attempt %d: %.0f points, %s\n", r.Begun.Format("2006-01-02 15:04"), r.Title, r.Attempt, r.Points, r.Verdict())
		for _, f := range r.Flags {
			hang(w, "  FLAG: ", f)
		}
		for _, i := range r.Items {
			hang(w, fmt.Sprintf("  %5.3g of %4.3g  ", i.Got, i.Of), i.Name+": "+i.Why)
		}
		if r.Moment.Words != "" {
			hang(w, "  ", r.Moment.Words)
		}
	}
	if err := w.Flush(); err != nil {
		return fmt.Errorf("class: %w", err)
	}
	return nil
}

//go:embed class.html
var classPage string

var classTemplate = template.Must(template.New("class").Funcs(template.FuncMap{
	"clock": phrase.Clock,
	"or":    cmp.Or[string],
	"part":  func(r Row, k practice.Skill) string { s, ok := r.Skills[k]; return part(s, ok) },
	"middle": func(m Median, k practice.Skill) string {
		s, ok := m.Skills[k]
		return part(score.Share{Got: s, Of: 1}, ok)
	},
	"stands": func(s Standing, k practice.Skill) string {
		x, ok := s.Skills[k]
		return part(score.Share{Got: x, Of: 1}, ok)
	},
	"skills": func() []practice.Skill { return practice.Skills },
}).Parse(classPage))

// WriteHTML writes the table as one page that needs nothing else.
func (c Class) WriteHTML(out io.Writer) error {
	if err := classTemplate.Execute(out, c); err != nil { // the page asks for medians, gaps and pupils itself
		return fmt.Errorf("class: %w", err)
	}
	return nil
}
