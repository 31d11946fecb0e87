package logpage

import (
	"fmt"
	"strings"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/widget"
)

// Page is the log of another program on the screen: how it was read, or its curve
// with one reading of it.
type Page struct {
	Name    string
	Columns []Column
	Rows    [][]string // the first of the table
	Lines   []int      // of the file, that they stand on
	How     string     // how it was read, in a few words
	Ask     string     // what only the person can say; empty when nothing is open
	Chosen  int        // column, from 0
	Reading bool       // show how it was read, not the curve

	Curve  []widget.CurvePoint
	Points []widget.Point // up to the present one, which is the last
	XLabel string
	Aim    float64 // pH that was aimed at, and its tolerance, where AimText says so
	Within float64
	// AimText stands at the line of the aim; empty where none is known.
	AimText string
	At      string   // the present reading
	Says    []string // the fit, or why there is none, and the notes
	Scroll  int      // lines of Says that have gone by

	Message string
	Wrong   bool
	Keys    []keyrow.Key
	Help    []keyrow.Key
	Set     *widget.Set
}

// Column is a column and what it was taken for.
type Column struct{ Name, Use, Why string }

// Draw draws the log: h rows of at most w columns.
func Draw(l Page, w, h int) string {
	if len(l.Help) > 0 {
		return keyrow.Help(w, h, l.Help, 0, l.Set, keyrow.Words{Title: "Keys for the log of another program", Back: "any key goes back; the file is only read"})
	}
	s := widget.NewSheet(w, h)
	put := func(y int, ink widget.Ink, text string) {
		if y >= 0 && y < h {
			s.PutIn(widget.Rect{X: 1, Y: y, W: w - 2, H: 1}, 0, ink, widget.Fit(text, w-2, l.Set), l.Set)
		}
	}
	put(0, widget.Strong, l.Name)
	body := widget.Rect{X: 0, Y: 1, W: w, H: h - 2}
	if l.Reading {
		l.drawHow(s, body)
	} else {
		l.drawCurve(s, body)
	}
	if l.Message != "" {
		ink := widget.Plain
		if l.Wrong {
			ink = widget.Warn
		}
		s.Fill(widget.Rect{X: 0, Y: h - 2, W: w, H: 1}, widget.Plain, " ") // the text goes down to there
		put(h-2, ink, l.Message)
	}
	keyrow.Draw(s, widget.Rect{X: 1, Y: h - 1, W: w - 2, H: 1}, l.Keys, l.Set)
	return s.Painted()
}

// widestColumn is the widest that a column is shown.
const widestColumn = 14

// drawHow is the first rows under their columns, with what each was taken for.
func (l Page) drawHow(s *widget.Sheet, r widget.Rect) {
	y := r.Y
	line := func(ink widget.Ink, text string, most int) {
		for _, t := range widget.Wrap(text, r.W-2, most, l.Set) {
			if y < r.Y+r.H {
				s.PutIn(widget.Rect{X: 1, Y: y, W: r.W - 2, H: 1}, 0, ink, t, l.Set)
				y++
			}
		}
	}
	line(widget.Plain, l.How, 2)
	if l.Ask != "" {
		line(widget.Warn, l.Ask, 4)
	}
	y++
	first, widths := l.shown(r.W - 2)
	row := func(lead string, cell func(i int) string, ink func(i int) widget.Ink) {
		if y >= r.Y+r.H {
			return
		}
		x := 1
		s.Put(x, y, widget.Faint, fmt.Sprintf("%5s", lead))
		x += 7
		for i := first; i < len(widths) && widths[i] > 0; i++ {
			s.PutIn(widget.Rect{X: x, Y: y, W: widths[i], H: 1}, 0, ink(i), widget.Fit(l.Set.Text(cell(i)), widths[i], l.Set), l.Set)
			x += widths[i] + 2
		}
		y++
	}
	chosen := func(ink widget.Ink) func(int) widget.Ink {
		return func(i int) widget.Ink {
			if i == l.Chosen {
				return widget.Strong
			}
			return ink
		}
	}
	row("", func(i int) string {
		if i == l.Chosen {
			return strings.Repeat(string([]rune(l.Set.Rail)[:1]), widths[i])
		}
		return ""
	}, chosen(widget.Plain))
	row("line", func(i int) string { return l.Columns[i].Name }, chosen(widget.Plain))
	row("is", func(i int) string { return l.Columns[i].Use }, func(i int) widget.Ink {
		if l.Columns[i].Use == "not used" {
			return widget.Faint
		}
		return widget.Seen
	})
	for k := range l.Rows[:l.fitting(r.Y+r.H-y-1, r.W-2)] {
		row(fmt.Sprint(l.Lines[k]), func(i int) string {
			if i < len(l.Rows[k]) {
				return strings.TrimSpace(l.Rows[k][i])
			}
			return ""
		}, func(int) widget.Ink { return widget.Plain })
	}
	y++
	if l.Chosen < len(l.Columns) {
		c := l.Columns[l.Chosen]
		text := fmt.Sprintf("column %d of %d, %s: %s", l.Chosen+1, len(l.Columns), c.Name, c.Use)
		if c.Why != "" {
			text += ", " + c.Why
		}
		line(widget.Strong, text, 3)
	}
	said := y
	for _, t := range l.Says {
		said += len(widget.Wrap(t, r.W-2, mostSaid, l.Set))
		line(widget.Faint, t, mostSaid)
	}
	if end := r.Y + r.H; said > end && y == end && l.Message == "" {
		s.Fill(widget.Rect{X: 0, Y: end - 1, W: r.W, H: 1}, widget.Plain, " ")
		y--
		line(widget.Faint, "Enter: the curve, and the rest of this", 1)
	}
}

// mostSaid is how many rows a sentence may take: that of an overshoot ends in what would
// have been enough.
const mostSaid = 6

// leastTable is the least number of rows of the table that tell what a column is.
const leastTable = 3

// fitting is how many rows of the table are shown, so that what is said of the fit has
// room below: n rows are free for both.
func (l Page) fitting(n, w int) int {
	for _, t := range l.Says {
		n -= len(widget.Wrap(t, w, mostSaid, l.Set))
	}
	return max(min(n-2, len(l.Rows)), min(leastTable, len(l.Rows)))
}

// shown are the columns there is room for, with the chosen one among them.
func (l Page) shown(w int) (first int, widths []int) {
	full := make([]int, len(l.Columns))
	for i, c := range l.Columns {
		full[i] = max(widget.Width(l.Set.Text(c.Name)), widget.Width(c.Use), 4)
		for _, r := range l.Rows {
			if i < len(r) {
				full[i] = max(full[i], widget.Width(strings.TrimSpace(r[i])))
			}
		}
		full[i] = min(full[i], widestColumn)
	}
	for ; first <= l.Chosen; first++ {
		widths = make([]int, len(full))
		left := w - 7
		for i := first; i < len(full) && left >= full[i]; i++ {
			widths[i] = full[i]
			left -= full[i] + 2
		}
		if l.Chosen < len(widths) && widths[l.Chosen] > 0 {
			return first, widths
		}
	}
	return min(l.Chosen, first), widths
}

// saysWide is how wide the fit is beside the curve, when there is room for both.
const saysWide = 44

// drawCurve is the plot with the present reading, and what is said of it.
func (l Page) drawCurve(s *widget.Sheet, r widget.Rect) {
	s.PutIn(widget.Rect{X: 1, Y: r.Y, W: r.W - 2, H: 1}, 0, widget.Strong, widget.Fit(l.At, r.W-2, l.Set), l.Set)
	_, rest := r.CutTop(1)
	plot, says := rest, rest
	if r.W >= saysWide+46 {
		plot, says = rest.CutRight(saysWide)
	} else {
		plot, says = rest.CutBottom(min(max(rest.H/2, 3), len(l.Says)+1))
	}
	if len(l.Points) > 0 {
		p := widget.Plot{Curve: l.Curve, Points: l.Points, XLabel: l.XLabel, YLabel: "pH", Aim: l.Points[len(l.Points)-1].Y, AimText: "this reading"}
		if l.AimText != "" {
			p.Aim, p.Tolerance, p.AimText = l.Aim, l.Within, l.AimText
		}
		p.Draw(s, widget.Rect{X: plot.X + 1, Y: plot.Y, W: plot.W - 2, H: plot.H}, l.Set)
	}
	var lines []string
	var inks []widget.Ink
	for _, t := range l.Says {
		ink := widget.Plain
		if strings.HasPrefix(t, "note") || strings.HasPrefix(t, "no fit") {
			ink = widget.Warn
		}
		for _, row := range widget.Wrap(t, says.W-2, mostSaid, l.Set) {
			lines, inks = append(lines, row), append(inks, ink)
		}
	}
	from := min(l.Scroll, max(0, len(lines)-says.H))
	for i := from; i < len(lines) && i-from < says.H; i++ {
		s.PutIn(widget.Rect{X: says.X + 1, Y: says.Y + i - from, W: says.W - 2, H: 1}, 0, inks[i], lines[i], l.Set)
	}
}
