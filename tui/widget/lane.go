package widget

import "sort"

// Lane is a scale of pH with the aim and its tolerance, where the reading
// stands, and where the next addition is expected to land.
type Lane struct {
	Aim, Tolerance float64
	HasNow         bool
	Now            float64
	Settled        bool
	HasLanding     bool
	Low, After     float64
	High           float64
	Decimals       int
}

// LaneRows is how many rows a lane takes: names, the lane, the scale.
const LaneRows = 3

// spans are the widths that a lane can have, pH. It jumps from one to the next,
// so that it does not creep while the reading moves.
var spans = []float64{0.12, 0.2, 0.4, 0.8, 1.6, 3, 6, 10, 16}

// Window is the part of the pH scale that the lane shows: the narrowest one
// that holds the aim, the reading and the landing, with the aim towards the
// far end of the way.
func (l Lane) Window() (lo, hi float64) {
	up := !l.HasNow || l.Now <= l.Aim
	for _, span := range spans {
		if span < 6*l.Tolerance && span != spans[len(spans)-1] {
			continue
		}
		lo = l.Aim - 0.8*span
		if !up {
			lo = l.Aim - 0.2*span
		}
		hi = lo + span
		if l.inside(lo+0.04*span, hi-0.04*span) {
			break
		}
	}
	return lo, hi
}

func (l Lane) inside(lo, hi float64) bool {
	in := func(v float64) bool { return v >= lo && v <= hi }
	if l.HasNow && !in(l.Now) {
		return false
	}
	return !l.HasLanding || in(l.Low) && in(l.High)
}

// Draw puts the lane into a rectangle of LaneRows rows.
func (l Lane) Draw(s *Sheet, r Rect, set *Set) {
	if r.W < 20 || r.H < 2 {
		return
	}
	lo, hi := l.Window()
	x := Axis{lo, hi, r.W}
	rail := r.Y + 1
	for i := range r.W {
		s.Put(r.X+i, rail, Faint, set.Rail)
	}
	l.drawScale(s, r, x, set)
	l.drawAim(s, r.X, rail, x, set)
	if l.HasLanding {
		l.drawLanding(s, r.X, rail, x, set)
	}
	if l.HasNow {
		mark := set.Ring
		if l.Settled {
			mark = set.Dot
		}
		s.Put(r.X+clamp(x.At(l.Now), r.W), rail, Strong, mark)
	}
	l.drawNames(s, r, x, set)
}

func clamp(i, n int) int { return max(0, min(i, n-1)) }

func (l Lane) drawAim(s *Sheet, left, y int, x Axis, set *Set) {
	mid := clamp(x.At(l.Aim), x.N)
	a, b := min(x.At(l.Aim-l.Tolerance), mid-1), max(x.At(l.Aim+l.Tolerance), mid+1)
	for i := max(a+1, 0); i < min(b, x.N); i++ {
		s.Put(left+i, y, Aim, set.TolFill)
	}
	s.Put(left+clamp(a, x.N), y, Aim, set.TolLow)
	s.Put(left+clamp(b, x.N), y, Aim, set.TolHigh)
	s.Put(left+mid, y, Aim, set.AimMark)
}

func (l Lane) drawLanding(s *Sheet, left, y int, x Axis, set *Set) {
	mid := clamp(x.At(l.After), x.N)
	a, b := min(x.At(l.Low), mid-1), max(x.At(l.High), mid+1)
	for i := max(a+1, 0); i < min(b, x.N); i++ {
		if i != clamp(x.At(l.Aim), x.N) {
			s.Put(left+i, y, Act, set.LandFill)
		}
	}
	s.Put(left+clamp(a, x.N), y, Act, set.LandLow)
	s.Put(left+clamp(b, x.N), y, Act, set.LandHigh)
	s.Put(left+mid, y, Act, set.LandMark)
}

func (l Lane) drawScale(s *Sheet, r Rect, x Axis, set *Set) {
	if r.H < 3 {
		return
	}
	at, dec := Ticks(x.Lo, x.Hi, max(2, r.W/12))
	for _, v := range at {
		text := Number(v, dec)
		col := x.At(v)
		s.Put(r.X+clamp(col, r.W), r.Y+1, Faint, set.Tick)
		from := col - Width(text)/2
		if from >= 0 && from+Width(text) <= r.W {
			s.Put(r.X+from, r.Y+2, Faint, text)
		}
	}
}

// name is a word over the lane.
type name struct {
	at   int // column it belongs to
	text string
	ink  Ink
	from int
}

func (l Lane) drawNames(s *Sheet, r Rect, x Axis, set *Set) {
	names := []name{{at: x.At(l.Aim), text: "aim " + Number(l.Aim, l.Decimals), ink: Aim}}
	if l.HasNow {
		names = append(names, name{at: x.At(l.Now), text: "now " + Number(l.Now, l.Decimals), ink: Strong})
	}
	if l.HasLanding {
		text := "lands " + Number(l.Low, l.Decimals) + "–" + Number(l.High, l.Decimals)
		full := append([]name{{at: x.At(l.After), text: set.Text(text), ink: Act}}, names...)
		if spread(full, r.W) {
			names = full
		}
	}
	if !spread(names, r.W) {
		return
	}
	for _, n := range names {
		s.Put(r.X+n.from, r.Y, n.ink, n.text)
	}
}

// spread places names near their columns, in order, without touching each
// other; it reports whether they fit into w.
func spread(names []name, w int) bool {
	const gap = 2
	sort.SliceStable(names, func(i, j int) bool { return names[i].at < names[j].at })
	end := -gap
	for i := range names {
		n := &names[i]
		n.from = max(n.at-Width(n.text)/2, end+gap, 0)
		end = n.from + Width(n.text)
	}
	limit := w
	for i := len(names) - 1; i >= 0; i-- {
		n := &names[i]
		n.from = min(n.from, limit-Width(n.text))
		limit = n.from - gap
	}
	return len(names) == 0 || names[0].from >= 0
}
