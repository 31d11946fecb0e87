package past

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"example.org/halfdrop/chem/fit"
	"example.org/halfdrop/meter/foreign"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/tui/playback"
	"example.org/halfdrop/tui/screen/logpage"
)

// logPage is the log of another program for the screen: how it was read, and what can
// be said of it, or what is to be asked first where q is not nil.
func logPage(path string, l *foreign.Log, q *foreign.Question, review func(*foreign.Log) (foreign.LogReview, error)) (playback.LogPage, error) {
	page := howPage(path, l)
	if q != nil {
		page.Question = q.What + ": " + strings.Join(q.Choices, ", ") + "."
		page.ByKeys, page.ByWords = answers(q)
		return page, nil
	}
	v, err := review(l)
	if err != nil {
		return playback.LogPage{}, err
	}
	fillPage(&page, l, v)
	return page, nil
}

// answers are the keys that answer a question on the screen, and what is typed in lines.
func answers(q *foreign.Question) (keys, typed string) {
	if q.Flag == "--volume-is" {
		return "k goes through them.", "Type volume is " + strings.Join(q.Choices, ", or volume is ") + "."
	}
	quantity := strings.TrimPrefix(q.Flag, "--")
	return "Choose the column with ← →, then p (pH), v, t, m, or - for none of these.",
		fmt.Sprintf("Type %s and the number of the column, such as %s 2.", quantity, quantity)
}

// howPage is how a log was read.
func howPage(path string, l *foreign.Log) playback.LogPage {
	header, uses, rows := l.How()
	page := playback.LogPage{Name: filepath.Base(path), Rows: rows, Lines: l.HeadAt, Runs: l.Runs,
		How: fmt.Sprintf("How it was read: columns separated by %s", l.SetOff)}
	if l.Turned {
		page.How += "; the table is transposed"
	}
	if l.Runs > 1 {
		page.How += fmt.Sprintf("; run %d of %d %s", l.Run, l.Runs, l.Lie())
	}
	for i := range header {
		page.Columns = append(page.Columns, logpage.Column{Name: header[i], Use: uses[i], Why: l.Reading[i].Why})
	}
	return page
}

// logCurvePoints is how many points a fitted curve is drawn with.
const logCurvePoints = 200

// fillPage puts readings, curve and fit on the page.
func fillPage(page *playback.LogPage, l *foreign.Log, v foreign.LogReview) {
	page.XLabel = "mL"
	curve := l.HasVolume()
	if !curve {
		page.XLabel = "min"
	}
	for i, r := range l.Rows {
		x, where := r.ML, fmt.Sprintf("%.2f mL", r.ML)
		if !curve {
			if x, where = r.T/60, phrase.Clock(r.T); math.IsNaN(r.T) {
				x, where, page.XLabel = float64(i), fmt.Sprintf("row %d", i+1), "row"
			}
		}
		if math.IsNaN(x) {
			continue
		}
		words := fmt.Sprintf("%s, pH %.2f", where, r.PH)
		if v.Fit != nil {
			words += fmt.Sprintf(" (fit %.2f)", v.Fit.PH(r.ML))
		}
		words += fmt.Sprintf(", line %d", r.Line)
		page.Points = append(page.Points, playback.LogPoint{X: x, PH: r.PH, Words: words})
		if o := v.Passed; o != nil && o.Over && o.Line == r.Line {
			page.Over = len(page.Points)
		}
	}
	if o := v.Passed; o != nil {
		page.Aimed, page.Aim, page.Within = true, o.Aim, o.Tolerance
	}
	page.Curve = page.Points
	if v.Fit != nil {
		page.Curve = fitted(v.Fit, v.ML)
	}
	page.Says = append(page.Says, v.Lines()...)
}

func fitted(f *fit.Result, to float64) (out []playback.LogPoint) {
	for i := range logCurvePoints {
		ml := to * float64(i) / (logCurvePoints - 1)
		out = append(out, playback.LogPoint{X: ml, PH: f.PH(ml)})
	}
	return out
}
