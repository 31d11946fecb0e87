package task

import (
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/widget"
)

// TracePoint is a reading at a time, s.
type TracePoint struct{ T, PH float64 }

// TraceDose is an addition at a time, s.
type TraceDose struct {
	T    float64
	N    int
	Text string // what it was
}

// Trace is the readings of a run so far, with a cursor that points at one of them
// or at an addition.
type Trace struct {
	Title, Facts string
	Points       []TracePoint
	Doses        []TraceDose
	Cursor       float64 // s, of a reading or an addition
	OnDose       bool    // it points at the addition of that time
	Span         float64 // s that are shown; 0 shows all
	Decimals     int
	Keys         []keyrow.Key
	Set          *widget.Set
}

// traceGutter is the room for the pH axis.
const traceGutter = 6

// Traced draws a trace: h rows of at most w columns.
func Traced(t Trace, w, h int) string {
	s, r := framed(w, h, t.Title, t.Facts, t.Keys, t.Set)
	words := t.At()
	var below widget.Rect
	r, below = r.CutBottom(min(len(words), max(0, r.H)))
	for i, line := range words {
		s.PutIn(below, i, []widget.Ink{widget.Strong, widget.Plain}[min(i, 1)], line, t.Set)
	}
	if len(t.Points) > 0 && r.W > traceGutter+10 && r.H >= 5 {
		t.plot(s, r)
	}
	return s.Painted()
}

// At says what the cursor points at: a line for it, and one for what was done
// before.
func (t Trace) At() []string {
	before := -1
	for i, d := range t.Doses {
		if d.T <= t.Cursor {
			before = i
		}
	}
	if t.OnDose && before >= 0 {
		d := t.Doses[before]
		return []string{fmt.Sprintf("Points at addition %d, at %s: %s.", d.N, phrase.Watch(d.T), d.Text), t.answer(before)}
	}
	i := t.nearest()
	if i < 0 {
		return []string{"Nothing has been read yet.", ""}
	}
	p := t.Points[i]
	first := fmt.Sprintf("Points at the reading of %s: pH %s.", phrase.Watch(p.T), widget.Number(p.PH, t.Decimals))
	if before < 0 {
		return []string{first, "Nothing had been added."}
	}
	d := t.Doses[before]
	return []string{first, fmt.Sprintf("%.0f s after addition %d, %s.", p.T-d.T, d.N, d.Text)}
}

// answer says from where to where the reading went after an addition, until the next.
func (t Trace) answer(i int) string {
	from, to, end := math.NaN(), math.NaN(), math.Inf(1)
	if i+1 < len(t.Doses) {
		end = t.Doses[i+1].T
	}
	for _, p := range t.Points {
		if p.T < t.Doses[i].T {
			from = p.PH
		} else if p.T < end {
			to = p.PH
		}
	}
	if math.IsNaN(from) || math.IsNaN(to) {
		return "Its answer has not been read yet."
	}
	return fmt.Sprintf("The readings after it went from %s to %s.", widget.Number(from, t.Decimals), widget.Number(to, t.Decimals))
}

// nearest is the reading nearest to the cursor, -1 without any.
func (t Trace) nearest() int {
	best := -1
	for i, p := range t.Points {
		if best < 0 || math.Abs(p.T-t.Cursor) < math.Abs(t.Points[best].T-t.Cursor) {
			best = i
		}
	}
	return best
}

// window is the times that are shown, with the cursor among them.
func (t Trace) window() (from, to float64) {
	from, to = t.Points[0].T, t.Points[len(t.Points)-1].T
	if t.Span <= 0 || to-from <= t.Span {
		return from, math.Max(to, from+10)
	}
	at := math.Min(math.Max(t.Cursor-t.Span/2, from), to-t.Span)
	return at, at + t.Span
}

// leastHeight is the least range of pH that is shown, so that noise does not look
// like a course.
const leastHeight = 0.2

func (t Trace) plot(s *widget.Sheet, r widget.Rect) {
	frame := widget.Rect{X: r.X + traceGutter, Y: r.Y, W: r.W - traceGutter, H: r.H - 2}
	from, to := t.window()
	c := widget.NewCanvas(frame.W, frame.H, t.Set)
	x := widget.Axis{Lo: from, Hi: to, N: c.W}
	y := widget.Axis{Lo: math.Inf(1), Hi: math.Inf(-1), N: c.H}
	for _, p := range t.Points {
		if x.Has(p.T) {
			y.Lo, y.Hi = math.Min(y.Lo, p.PH), math.Max(y.Hi, p.PH)
		}
	}
	if pad := math.Max((leastHeight-(y.Hi-y.Lo))/2, 0.05*(y.Hi-y.Lo)); !math.IsInf(y.Lo, 0) {
		y.Lo, y.Hi = y.Lo-pad, y.Hi+pad
	}
	t.marks(s, r, frame, from, to)
	for _, p := range t.Points {
		if x.Has(p.T) {
			c.Set(x.At(p.T), c.H-1-y.At(p.PH), widget.Plain)
		}
	}
	c.Draw(s, frame)
	t.pointer(s, frame, from, to, func(ph float64) int { return (c.H - 1 - y.At(ph)) * frame.H / max(c.H, 1) })
	at, dec := y.Ticks(max(2, frame.H/3))
	for _, v := range at {
		row := (c.H - 1 - y.At(v)) * frame.H / max(c.H, 1)
		if row >= 0 && row < frame.H {
			s.PutRight(widget.Rect{X: r.X, Y: r.Y, W: traceGutter - 2, H: frame.H}, row, widget.Faint, widget.Number(v, dec), t.Set)
			s.Put(frame.X-1, frame.Y+row, widget.Faint, t.Set.TickLeft)
		}
	}
	t.clock(s, widget.Rect{X: frame.X, Y: r.Y + r.H - 1, W: frame.W, H: 1}, from, to)
}

// marks are the additions: a line of dashes each, and its number under it.
func (t Trace) marks(s *widget.Sheet, r, frame widget.Rect, from, to float64) {
	cols := widget.Axis{Lo: from, Hi: to, N: frame.W}
	s.Fill(widget.Rect{X: frame.X, Y: r.Y + r.H - 2, W: frame.W, H: 1}, widget.Faint, t.Set.HLine)
	for _, d := range t.Doses {
		if !cols.Has(d.T) {
			continue
		}
		col := frame.X + min(cols.At(d.T), frame.W-1)
		for row := 0; row < frame.H; row += 2 {
			s.Put(col, frame.Y+row, widget.Faint, t.Set.VLine)
		}
		s.Put(col, r.Y+r.H-2, widget.Act, fmt.Sprint(d.N))
	}
}

// pointer is the cursor: a line through the trace, with a ring on the reading.
func (t Trace) pointer(s *widget.Sheet, frame widget.Rect, from, to float64, row func(float64) int) {
	cols := widget.Axis{Lo: from, Hi: to, N: frame.W}
	if !cols.Has(t.Cursor) {
		return
	}
	col := frame.X + min(cols.At(t.Cursor), frame.W-1)
	for k := range frame.H {
		s.Put(col, frame.Y+k, widget.Act, t.Set.VLine)
	}
	if i := t.nearest(); i >= 0 && !t.OnDose {
		s.Put(col, frame.Y+max(0, min(row(t.Points[i].PH), frame.H-1)), widget.Act, t.Set.Dot)
		return
	}
	s.Put(col, frame.Y, widget.Act, t.Set.Act)
}

// clock is the axis of time.
func (t Trace) clock(s *widget.Sheet, r widget.Rect, from, to float64) {
	left, right := phrase.Watch(from), phrase.Watch(to)
	s.PutIn(r, 0, widget.Faint, left, t.Set)
	s.PutRight(r, 0, widget.Faint, right, t.Set)
	cols := widget.Axis{Lo: from, Hi: to, N: r.W}
	text := phrase.Watch(t.Cursor)
	at := cols.At(t.Cursor) - widget.Width(text)/2
	if at > widget.Width(left) && at+widget.Width(text) < r.W-widget.Width(right) {
		s.Put(r.X+at, r.Y, widget.Act, text)
	}
}

// Step moves the cursor by some readings.
func (t *Trace) Step(n int) {
	if i := t.nearest(); i >= 0 {
		if !t.OnDose || n == 0 || math.Abs(float64(n)) > 1 {
			i += n
		} else if n > 0 && t.Points[i].T <= t.Cursor || n < 0 && t.Points[i].T >= t.Cursor {
			i += n
		}
		t.Cursor, t.OnDose = t.Points[min(max(i, 0), len(t.Points)-1)].T, false
	}
}

// StepDose moves the cursor to the next addition, or to the one before; after the
// last comes the first.
func (t *Trace) StepDose(n int) {
	list := t.Doses
	if n < 0 {
		list = slices.Clone(list)
		slices.Reverse(list)
	}
	for _, d := range list {
		if n > 0 && d.T > t.Cursor || n < 0 && d.T < t.Cursor {
			t.Cursor, t.OnDose = d.T, true
			return
		}
	}
	if len(list) > 0 { // round and round
		t.Cursor, t.OnDose = list[0].T, true
	}
}
