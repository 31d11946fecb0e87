package widget

import (
	"slices"
	"sort"
)

// Lane is a scale of pH with the aim and its tolerance, where the reading
// stands, and where the next addition is expected to land.
type Lane struct {
	Aim, Tolerance float64
	Down           bool // the way to the aim leads down
	HasNow         bool
	Now            float64
	Settled        bool
	HasLanding     bool
	Low, After     float64
	High           float64
	Decimals       int    // of the reading
	AimDigits      int    // decimals of the aim
	LandDigits     int    // decimals of the landing
	Within         string // the tolerance in words, named with the aim where there is room; may be empty
}

// LaneRows is how many rows a lane takes: names, the lane, the scale.
const LaneRows = 3

// spans are the widths that a lane can have, pH. It jumps from one to the next,
// so that it does not creep while the reading moves.
var spans = []float64{0.12, 0.2, 0.4, 0.8, 1.6, 3, 6, 10, 16}

// beyond is the share of the tolerance by which the reading has to be past the aim before
// the lane turns round: at the aim it would turn with the last figure of each reading.
const beyond = 0.9

// Window is the part of the pH scale that the lane shows: the narrowest one
// that holds the aim, the reading and the landing, with the aim towards the
// far end of the way.
func (l Lane) Window() (lo, hi float64) {
	up := !l.Down
	switch past := beyond * l.Tolerance; {
	case !l.HasNow:
	case l.Now > l.Aim+past:
		up = false
	case l.Now < l.Aim-past:
		up = true
	}
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
	if r.W < 20 || r.H < 2 || !finite(l.Aim, l.Tolerance) {
		return
	}
	l.HasNow = l.HasNow && finite(l.Now)
	l.HasLanding = l.HasLanding && finite(l.Low, l.After, l.High)
	lo, hi := l.Window()
	x := Axis{lo, hi, r.W}
	rail := r.Y + 1
	for i := range r.W {
		s.Put(r.X+i, rail, Faint, set.Rail)
	}
	l.drawScale(s, r, x, set)
	l.drawBrackets(s, r.X, rail, x, set)
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

// bracket is a range on the lane, at least three columns wide.
type bracket struct{ lo, mid, hi int }

func bracketOf(x Axis, lo, mid, hi float64) bracket {
	m := clamp(x.At(mid), x.N)
	return bracket{min(x.At(lo), m-1), m, max(x.At(hi), m+1)}
}

func (b bracket) fill(s *Sheet, left, y, n int, ink Ink, text string) {
	for i := max(b.lo+1, 0); i < min(b.hi, n); i++ {
		s.Put(left+i, y, ink, text)
	}
}

func (b bracket) ends(s *Sheet, left, y, n int, ink Ink, low, mid, high string) {
	s.Put(left+clamp(b.lo, n), y, ink, low)
	s.Put(left+clamp(b.hi, n), y, ink, high)
	s.Put(left+b.mid, y, ink, mid)
}

func (l Lane) drawBrackets(s *Sheet, left, y int, x Axis, set *Set) {
	aim := bracketOf(x, l.Aim-l.Tolerance, l.Aim, l.Aim+l.Tolerance)
	land := bracketOf(x, l.Low, l.After, l.High)
	aim.fill(s, left, y, x.N, Aim, set.TolFill)
	if l.HasLanding {
		land.fill(s, left, y, x.N, Act, set.LandFill)
	}
	aim.ends(s, left, y, x.N, Aim, set.TolLow, set.AimMark, set.TolHigh)
	if l.HasLanding {
		land.ends(s, left, y, x.N, Act, set.LandLow, set.LandMark, set.LandHigh)
	}
}

func (l Lane) drawScale(s *Sheet, r Rect, x Axis, set *Set) {
	if r.H < 3 {
		return
	}
	at, dec := x.Ticks(max(2, r.W/12))
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

// drawNames names what is on the lane, as much of it as there is room for.
func (l Lane) drawNames(s *Sheet, r Rect, x Axis, set *Set) {
	aim := name{at: x.At(l.Aim), text: "aim " + Number(l.Aim, l.AimDigits), ink: Aim}
	within := aim
	within.text = set.Text(aim.text + l.Within)
	var now, lands []name
	if l.HasNow {
		now = []name{{at: x.At(l.Now), text: "now " + Number(l.Now, l.Decimals), ink: Strong}}
	}
	if l.HasLanding {
		text := "lands " + Number(l.Low, l.LandDigits) + "–" + Number(l.High, l.LandDigits)
		lands = []name{{at: x.At(l.After), text: set.Text(text), ink: Act}}
	}
	for _, names := range [][]name{slices.Concat(lands, []name{within}, now), slices.Concat(lands, []name{aim}, now),
		append([]name{within}, now...), append([]name{aim}, now...)} {
		if spread(names, r.W) {
			for _, n := range names {
				s.Put(r.X+n.from, r.Y, n.ink, n.text)
			}
			return
		}
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
