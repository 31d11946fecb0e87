package report

import (
	"bytes"
	"cmp"
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/replay"
)

//go:embed page.gohtml
var pageText string

var page = template.Must(template.New("page").Funcs(template.FuncMap{
	"date":     func(t time.Time) string { return t.Format("2006-01-02") },
	"moment":   func(t time.Time) string { return t.Format("2 January 2006, 15:04 -07:00") },
	"clockOf":  func(t time.Time) string { return t.Format("15:04") },
	"clock":    phrase.Clock,
	"ph":       func(x float64) string { return fmt.Sprintf("%.2f", x) },
	"whole":    func(s string) string { return strings.ReplaceAll(s, " °C", "\u00a0°C") }, // a unit is not torn off its number
	"temp":     func(x float64) string { return fmt.Sprintf("%.1f °C", x) },
	"g":        func(x float64) string { return fmt.Sprintf("%.6g", x) },
	"g4":       func(x float64) string { return fmt.Sprintf("%.4g", x) },
	"as":       func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }, // as it was entered
	"nan":      math.IsNaN,
	"count":    phrase.Counted[int],
	"standing": func(s replay.Standing) string { return s.Text("–") },
	"advice":   replay.AdviceText,
	"expected": expected,
	"brought":  brought,
	"initials": initials,
	"join":     strings.Join,
	"first":    func(a, b string) string { return cmp.Or(a, b) },
	"sent":     sent,
	"sd":       func(x float64) string { return fmt.Sprintf("%.1g", x) },
	"known":    known,
}).Parse(pageText))

// known is a pH with its spread, in digits that the spread carries: 7.314 ± 0.004.
func known(ph, sd float64) string {
	if sd > 0 && sd < 0.0095 {
		return fmt.Sprintf("%.3f ± %.1g", ph, math.Max(sd, 0.001))
	}
	return fmt.Sprintf("%.2f ± %.1g", ph, sd)
}

// sent is a number of a meter that may not have sent it.
func sent(format string, x *float64) string {
	if x == nil {
		return "–"
	}
	return fmt.Sprintf(format, *x)
}

// drawn is the record with its figures.
type drawn struct {
	*Record
	CurveSVG, TraceSVG template.HTML // drawn here, with every name escaped
	Given              int           // additions in force
	SD                 float64       // of the pH in use
}

// WritePage writes the record as one HTML page that needs nothing else.
func (rec *Record) WritePage(w io.Writer) error {
	v, err := rec.view(rec.WriteCurve)
	if err != nil {
		return err
	}
	if err := page.Execute(w, v); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

// view draws the figures of the record.
func (rec *Record) view(curve func(io.Writer) error) (drawn, error) {
	v := drawn{Record: rec, SD: rec.spread()}
	for _, s := range rec.Steps {
		if !s.Undone {
			v.Given++
		}
	}
	for _, f := range []struct {
		draw func(io.Writer) error
		to   *template.HTML
	}{{curve, &v.CurveSVG}, {rec.WriteTrace, &v.TraceSVG}} {
		var b bytes.Buffer
		if err := f.draw(&b); err != nil {
			return v, fmt.Errorf("report: %w", err)
		}
		*f.to = template.HTML(b.String())
	}
	return v, nil
}

// expected is where an addition was expected to take the pH.
func expected(s replay.Step) string {
	ph, low, high, ordered := s.Expected()
	switch {
	case s.Undone || ph == 0:
		return "–"
	case ordered:
		return fmt.Sprintf("%.2f (%.2f–%.2f)", ph, low, high)
	}
	return fmt.Sprintf("%.2f label", ph)
}

// brought is the charge of an addition over that of its label.
func brought(s replay.Step) string {
	switch {
	case s.Undone || s.Response == 0 || s.Within == 0:
		return "–"
	case s.Within > 1:
		return "not known" // readings in a steep or flat place say nothing of it
	}
	return fmt.Sprintf("%.2f ± %.1g", s.Response, math.Max(s.Within, 0.01))
}

// initials are the first letters of a name.
func initials(name string) string {
	var b strings.Builder
	for _, word := range strings.Fields(name) {
		b.WriteRune([]rune(word)[0])
	}
	return strings.ToUpper(b.String())
}
