package widget

import (
	"math"
	"slices"
)

// CurvePoint is a point of a curve with its spread.
type CurvePoint struct{ X, Y, Low, High float64 }

// Point is a measured point.
type Point struct{ X, Y float64 }

// Plot is a titration curve: predicted, with its spread, and as measured.
type Plot struct {
	Curve     []CurvePoint
	Points    []Point // the present one last
	Aim       float64 // NaN for a curve that is to lead nowhere
	Tolerance float64
	AimText   string      // stands at the end of the aim line
	Landing   *CurvePoint // where the next addition should lead; nil without one
	XLabel    string
	YLabel    string
}

// Draw puts the plot into a rectangle, axes included. It needs about 20 by 4.
func (p Plot) Draw(s *Sheet, r Rect, set *Set) {
	if p = p.drawable(); r.W < 16 || r.H < 4 || len(p.Curve) == 0 || !p.aimless() && !finite(p.Aim, p.Tolerance) {
		return
	}
	gutter := 5 // for the labels of the pH axis
	for range 2 {
		frame := Rect{r.X + gutter, r.Y, r.W - gutter, r.H - 2}
		c := NewCanvas(frame.W-1, frame.H, set)
		x, y := p.axes(frame.H)
		x.N, y.N = c.W, c.H
		x, xs, xd := x.Graduate(c.cw, p.apart(x))
		y, ys, yd := y.Graduate(c.ch, min(max(2, frame.H/6), 4))
		if wide := p.widest(y, ys, yd) + 2; wide > gutter {
			gutter = wide
			continue
		}
		inner := Rect{frame.X + 1, frame.Y, frame.W - 1, frame.H}
		if !p.aimless() {
			p.drawAim(s, inner, y.rows(c), set)
		}
		p.drawCurve(c, x, y)
		c.Draw(s, inner)
		if !p.aimless() {
			p.drawAimText(s, inner, y.rows(c), set)
		}
		p.drawXLabel(s, inner, set, p.low(c, x, y, inner.H))
		p.drawMarks(s, inner, c, x, y, set)
		p.drawYAxis(s, Rect{r.X, r.Y, gutter + 1, frame.H}, y.rows(c), y.Marks(ys), yd, set)
		p.drawXAxis(s, Rect{frame.X, r.Y + frame.H, frame.W, 2}, c.cw, x, xs, xd, set)
		return
	}
}

func (p Plot) aimless() bool { return math.IsNaN(p.Aim) }

// apart is the least number of cells between two numbers of the axis.
func (p Plot) apart(x Axis) int {
	return max(8, 4+max(Width(Number(x.Lo, 1)), Width(Number(x.Hi, 1))))
}

// widest is the width of the longest number of the axis.
func (p Plot) widest(y Axis, step float64, dec int) (w int) {
	for _, v := range y.Marks(step) {
		w = max(w, Width(Number(v, dec)))
	}
	return max(w, Width(p.YLabel))
}

// drawable is the plot without what is no number.
func (p Plot) drawable() Plot {
	odd := func(c CurvePoint) bool { return !finite(c.X, c.Y, c.Low, c.High) }
	if slices.ContainsFunc(p.Curve, odd) {
		p.Curve = slices.DeleteFunc(slices.Clone(p.Curve), odd)
	}
	p.Points = slices.DeleteFunc(slices.Clone(p.Points), func(m Point) bool { return !finite(m.X, m.Y) })
	if p.Landing != nil && odd(*p.Landing) {
		p.Landing = nil
	}
	return p
}

// axes are ranges that show the points, the aim and the curve, but for the
// steep tip of the curve at either end, which would flatten all the rest.
func (p Plot) axes(rows int) (x, y Axis) {
	x = Axis{Lo: math.Inf(1), Hi: math.Inf(-1)}
	y = Axis{Lo: p.Aim - 2*p.Tolerance, Hi: p.Aim + 2*p.Tolerance}
	if p.aimless() {
		y = Axis{Lo: math.Inf(1), Hi: math.Inf(-1)}
	}
	tip := len(p.Curve) / 40
	for i, c := range p.Curve {
		x.Lo, x.Hi = min(x.Lo, c.X), max(x.Hi, c.X)
		if i >= tip && i < len(p.Curve)-tip {
			y.Lo, y.Hi = min(y.Lo, c.Y), max(y.Hi, c.Y)
		}
	}
	for _, m := range p.Points {
		x.Lo, x.Hi = min(x.Lo, m.X), max(x.Hi, m.X)
		y.Lo, y.Hi = min(y.Lo, m.Y), max(y.Hi, m.Y)
	}
	if !(x.Hi > x.Lo) {
		x.Hi = x.Lo + 1
	}
	span := y.Hi - y.Lo
	pad, name := max(0.06*span, 0.02), 1.5*span/float64(rows)
	y.Lo, y.Hi = y.Lo-pad, y.Hi+pad
	if p.aimless() {
		return x, y
	}
	if p.rises() { // room for the name of the aim line
		y.Hi = max(y.Hi, p.Aim+name+pad)
	} else {
		y.Lo = min(y.Lo, p.Aim-name-pad)
	}
	return x, y
}

// rises reports whether the curve comes to the aim from below.
// It goes by the leftmost of what is drawn: a curve may begin at the last of the points.
func (p Plot) rises() bool {
	first := Point{p.Curve[0].X, p.Curve[0].Y}
	for _, m := range p.Points {
		if m.X < first.X {
			first = m
		}
	}
	return first.Y < p.Aim
}

// falls reports whether the corner on the left is the free one.
func (p Plot) falls() bool { return !p.rises() && p.Curve[len(p.Curve)-1].Y < p.Curve[0].Y }

// down is the row of dots for a value: pH goes up, rows go down.
func down(y Axis, v float64) int { return y.N - 1 - y.At(v) }

// rows are the rows of cells on which values lie, with the same rounding as
// the dots of a canvas, so that marks sit on the curve.
func (a Axis) rows(c *Canvas) func(v float64) int {
	return func(v float64) int { return down(a, v) / c.ch }
}

func (p Plot) drawAim(s *Sheet, r Rect, row func(float64) int, set *Set) {
	top, bottom := row(p.Aim+p.Tolerance), row(p.Aim-p.Tolerance)
	lines := []int{row(p.Aim)}
	if top < lines[0] && bottom > lines[0] {
		lines = append(lines, top, bottom) // the tolerance is wide enough to be seen
	}
	for i, y := range lines {
		for x := 0; x < r.W && y >= 0 && y < r.H; x += 2 + 2*min(i, 1) {
			s.Put(r.X+x, r.Y+y, Aim, set.Dashes)
		}
	}
}

// drawAimText names the aim line at its left end, on the side where the curve
// is not: it comes from the other side.
func (p Plot) drawAimText(s *Sheet, r Rect, row func(float64) int, set *Set) {
	text := set.Text(p.AimText)
	y := row(p.Aim)
	if p.rises() && y > 0 || y >= r.H-1 {
		y--
	} else {
		y++
	}
	x := r.X + 2
	if y == r.H-1 && p.falls() { // the name of the axis stands there
		x += Width(p.XLabel) + 2
	}
	if w := Width(text); x+w+6 < r.X+r.W && y >= 0 && y < r.H {
		s.Put(x, r.Y+y, Aim, text)
	}
}

func (p Plot) drawCurve(c *Canvas, x, y Axis) {
	for i := range c.W {
		pt, ok := p.at(x.value(i))
		if lo, hi := down(y, pt.Low), down(y, pt.High); ok && lo-hi >= 2 {
			c.column(i, hi, lo, 3, Band)
		}
	}
	before := -1
	for i := range c.W {
		pt, ok := p.at(x.value(i))
		if !ok {
			before = -1
			continue
		}
		d := down(y, pt.Y)
		c.column(i, joined(before, d), d, 1, Model)
		before = d
	}
}

// joined is where a stroke to row d begins so that it meets the one before.
func joined(before, d int) int {
	switch {
	case before < 0:
		return d
	case before > d+1:
		return before - 1
	case before < d-1:
		return before + 1
	}
	return d
}

// at is the curve at x, between its points.
func (p Plot) at(x float64) (CurvePoint, bool) {
	for i := 1; i < len(p.Curve); i++ {
		a, b := p.Curve[i-1], p.Curve[i]
		if a.X > b.X {
			a, b = b, a
		}
		if x < a.X || x > b.X || a.X == b.X {
			continue
		}
		f := (x - a.X) / (b.X - a.X)
		mix := func(u, v float64) float64 { return u + f*(v-u) }
		return CurvePoint{x, mix(a.Y, b.Y), mix(a.Low, b.Low), mix(a.High, b.High)}, true
	}
	return CurvePoint{}, false
}

func (p Plot) drawMarks(s *Sheet, r Rect, c *Canvas, x, y Axis, set *Set) {
	row := y.rows(c)
	put := func(mx, my float64, ink Ink, mark string) {
		if x.Has(mx) && y.Has(my) {
			s.Put(r.X+x.At(mx)/c.cw, r.Y+row(my), ink, mark)
		}
	}
	if l := p.Landing; l != nil {
		for i := row(l.High); i <= row(l.Low); i++ {
			put(l.X, y.value((r.H-1-i)*c.ch+c.ch/2), Act, set.VLine)
		}
		put(l.X, l.Y, Act, set.LandMark)
	}
	for i, m := range p.Points {
		mark := set.Ring
		if i == len(p.Points)-1 {
			mark = set.Dot
		}
		put(m.X, m.Y, Seen, mark)
	}
}

// drawYAxis puts the numbers of the axis beside its line and its name on top. The
// row of a number is that of the curve at its value.
func (p Plot) drawYAxis(s *Sheet, r Rect, row func(float64) int, at []float64, dec int, set *Set) {
	edge := r.X + r.W - 1
	for i := range r.H {
		s.Put(edge, r.Y+i, Faint, set.VLine)
	}
	for _, v := range at {
		i := row(v)
		if i <= 0 || i >= r.H {
			continue // the top row holds the name of the axis
		}
		text := set.Text(Number(v, dec))
		s.Put(edge-Width(text)-1, r.Y+i, Faint, text)
		s.Put(edge, r.Y+i, Faint, set.TickLeft)
	}
	s.Put(edge-1-Width(p.YLabel), r.Y, Faint, p.YLabel)
}

// drawXLabel names the axis inside the plot, in the corner that the curve leaves
// free, so that it takes no number its place; low reports whether the curve runs there.
func (p Plot) drawXLabel(s *Sheet, r Rect, set *Set, low func(col int) bool) {
	label := Fit(p.XLabel, r.W/2, set)
	corners, y := []int{r.W - Width(label), 1}, r.Y+r.H-1
	if p.falls() {
		slices.Reverse(corners)
	}
	taken := func(at int) bool {
		for col := range Width(label) {
			if low(at + col) {
				return true
			}
		}
		return false
	}
	at := corners[0]
	switch {
	case taken(at) && !taken(corners[1]):
		at = corners[1]
	case taken(at):
		y--
	}
	s.Put(r.X+at, y, Faint, label)
}

// low tells of a column of cells whether the curve runs through its lowest row, or a point
// stands there.
func (p Plot) low(c *Canvas, x, y Axis, rows int) func(col int) bool {
	row := y.rows(c)
	marks := map[int]bool{}
	for _, m := range p.Points {
		if x.Has(m.X) && y.Has(m.Y) && row(m.Y) == rows-1 {
			marks[x.At(m.X)/c.cw] = true
		}
	}
	return func(col int) bool {
		pt, ok := p.at(x.value(col * c.cw))
		return marks[col] || ok && row(pt.Y) == rows-1
	}
}

// drawXAxis puts line and numbers under the plot, the last number whole.
func (p Plot) drawXAxis(s *Sheet, r Rect, cell int, x Axis, step float64, dec int, set *Set) {
	s.Put(r.X, r.Y, Faint, set.Corner)
	for i := 1; i < r.W; i++ {
		s.Put(r.X+i, r.Y, Faint, set.HLine)
	}
	for _, v := range x.Marks(step) {
		text := set.Text(Number(v, dec))
		at := x.At(v)
		if at < 0 || at >= x.N {
			continue
		}
		col := r.X + 1 + at/cell
		s.Put(col, r.Y, Faint, set.Tick)
		from := max(col-Width(text)/2, r.X)
		s.Put(min(from, r.X+r.W-Width(text)), r.Y+1, Faint, text)
	}
}
