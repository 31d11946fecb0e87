package run

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/settle"
)

// What a sound reading cannot do, seen from the run: leave its level by itself,
// or stand still to the last digit where it must move. Figures of judgement, a
// choice of this project.
const (
	restSpan   = 10.0 // s over which a reading at rest keeps within restRange
	restRange  = 0.05 // pH
	restFrom   = 20.0 // s after an addition before a reading that has not followed it can be called at rest
	leavesBy   = 0.06 // pH from the level at rest: it is leaving, and nothing is added on it
	leftBy     = 0.25 // pH: it has left
	leftFor    = 3    // readings in a row
	leftWithin = 30.0 // s since it was at rest; slower is a drift
	backWithin = 0.10 // pH from the level: it is back
	lateKeyed  = 120.0

	stillFor   = 18.0 // s without a change in any digit after an addition
	stillMoves = 4.0  // digits that it should have made
	deadFor    = 10.0 // s without a change after it had been moving: no meter shows so seldom
	deadRuns   = 3    // readings that repeat one: two alike are chance
	deadTau    = 1.0  // s, quicker than any electrode: what is moving goes on for that long at least
)

// second is the mean of the readings of one second.
type second struct {
	t, y float64
	n    int
}

// watch follows the level of the readings of one composition.
type watch struct {
	ring [int(restSpan)]second // the seconds before the present one
	used int
	open second

	atRest bool
	level  float64 // of the latest rest
	when   float64 // s
	before settle.Window
	asked  bool // for an addition, at that time
	out    int  // readings in a row away from the level
	back   int  // and near the one that was left

	last2      float64 // the reading before the latest
	last       float64 // the latest reading, and since when it has been just that
	stillSince float64
	same       int     // readings that repeated it
	pace       float64 // pH/s, how fast it moved before
}

// moved is a reading that left its level with no addition on record.
type moved struct {
	since, from float64
	before      settle.Window // of the composition, until then
	asked       bool          // for an addition when it left: it has probably fallen, and is not keyed yet
}

// push takes a reading into the level.
func (w *watch) push(t, y float64, window *settle.Window) {
	w.last2 = w.last
	w.still(t, y)
	if w.open.n > 0 && t-w.open.t < 1 && t >= w.open.t {
		n := float64(w.open.n)
		w.open.y, w.open.n = (w.open.y*n+y)/(n+1), w.open.n+1
	} else {
		if w.open.n > 0 {
			copy(w.ring[:], w.ring[1:])
			w.ring[len(w.ring)-1] = w.open
			w.used = min(w.used+1, len(w.ring))
		}
		w.open = second{t, y, 1}
	}
	if level, ok := w.rests(); ok && (t-window.Since > restFrom || followed(window, level)) {
		w.atRest, w.level, w.when, w.before, w.out = true, level, t, *window, 0
		return
	}
	switch {
	case !w.atRest:
	case t-w.when > leftWithin:
		w.atRest = false
	case math.Abs(y-w.level) > leftBy:
		w.out++
	default:
		w.out = 0
	}
}

// followed reports whether a level is nearer to where an addition was expected
// to lead than to where it began.
func followed(w *settle.Window, level float64) bool {
	return math.Abs(level-w.From) > math.Abs(level-w.Expected)
}

// rests is the level of the last seconds when they kept to one.
func (w *watch) rests() (level float64, ok bool) {
	if w.used < len(w.ring) || w.open.t-w.ring[0].t > 2*restSpan {
		return 0, false
	}
	low, high := w.open.y, w.open.y
	for _, s := range w.ring {
		low, high = min(low, s.y), max(high, s.y)
		level += s.y / float64(len(w.ring))
	}
	return level, high-low <= restRange
}

// still notes since when the reading has not changed in any digit.
func (w *watch) still(t, y float64) {
	if w.stillSince != 0 && y == w.last {
		w.same++
		return
	}
	w.pace, w.same = 0, 0
	if w.used >= 3 {
		s := w.ring[len(w.ring)-3]
		if dt := t - s.t; dt > 0 && dt < 6 {
			w.pace = math.Abs(y-s.y) / dt
		}
	}
	w.last, w.stillSince = y, t
}

// follow takes a reading into the window of the present composition, unless it
// shows that the electrode or the beaker has been changed behind our back: then
// a new window begins where the reading left its level.
func (s *State) follow(t, ph float64) {
	if ph != s.watch.last && s.stuck() { // it moves again: what stood still says nothing
		s.restart(t)
		s.eye, s.watch = s.eye.Broken(t), watch{}
		s.version++
	}
	s.watch.push(t, ph, &s.window)
	s.window = s.window.Push(t, ph)
	w := &s.watch
	if w.atRest && w.when == t {
		w.asked = s.advice != nil && s.advice.Do == coach.Add.String()
	}
	switch {
	case s.moved == nil && w.atRest && w.out >= leftFor:
		s.moved = &moved{since: w.when, from: w.level, before: w.before, asked: w.asked}
		s.restart(w.when)
		s.tellEye(t, ph)
		s.watch, s.advice = watch{}, nil
		s.version++
	case s.moved == nil || math.Abs(ph-s.moved.from) > backWithin:
		w.back = 0
	case w.back+1 < leftFor:
		w.back++
	default:
		s.tellEye(t, s.watch.level)
		s.window = s.moved.before.Push(t, ph)
		s.watch = watch{atRest: true, level: s.moved.from, when: t, before: s.window}
		s.moved, s.advice = nil, nil
		s.version++
	}
}

// elsewhere is how far a reading goes, pH, when the electrode is put into
// another liquid: what is wrong with it in the same one moves it by less.
const elsewhere = 1.0

// tellEye tells the eye for faults of the bench that the electrode has been
// elsewhere, so that it does not take that for one of them.
func (s *State) tellEye(t, ph float64) {
	if math.Abs(ph-s.moved.from) > elsewhere {
		s.eye = s.eye.Broken(t)
	}
}

// restart begins a window at since, with the readings that came after it.
func (s *State) restart(since float64) {
	old := s.window
	s.window = settle.Window{Since: since, From: math.NaN(), Expected: math.NaN(), Resolution: old.Resolution}
	s.refill(old)
}

// refill gives the window the readings of old since its own beginning.
func (s *State) refill(old settle.Window) {
	for _, b := range old.Bins() {
		if b.T > s.window.Since {
			s.window = s.window.Push(b.T, b.Y)
		}
	}
}

// forget drops what was watched: another composition, or readings long after.
func (s *State) forget() { s.watch, s.moved, s.trusted = watch{}, nil, false }

// leaving reports whether the reading has begun to leave its level with nothing
// on record: too early to say what it is, and no time for an addition.
func (s *State) leaving() bool {
	w := &s.watch
	return s.moved == nil && w.atRest && math.Abs(s.last.ph-w.level) > leavesBy && math.Abs(w.last2-w.level) > leavesBy
}

// unexplained reports whether the reading has left its level with nothing to
// explain it. Before an addition was asked for, an electrode is put into the
// beaker, and moves by that.
func (s *State) unexplained() bool {
	return s.moved != nil && (s.moved.asked || s.inForce() > 0) && !s.trusted
}

// stuck reports whether the reading stands still to the last digit where it
// must move.
func (s *State) stuck() bool { return s.stopped() || s.unmoved() }

// halted reports whether the reading stands still where the pace it had must
// have carried it on: between two looks of a slow meter, or for good.
func (s *State) halted() bool {
	w := &s.watch
	on := w.pace * deadTau * -math.Expm1(-s.standing()/deadTau)
	return !s.trusted && s.moved == nil && w.same >= deadRuns && on >= stillMoves*s.window.Resolution
}

// standing is for how long the readings have repeated the same number, s. A
// meter that sends nothing says nothing of it.
func (s *State) standing() float64 {
	if s.watch.stillSince == 0 {
		return 0
	}
	return s.last.t - s.watch.stillSince
}

// stopped reports whether the reading stopped dead in the middle of a move: no
// electrode does that.
func (s *State) stopped() bool { return s.halted() && s.standing() >= deadFor }

// unmoved reports whether nothing at all has answered an addition.
func (s *State) unmoved() bool {
	w, digit := &s.watch, s.window.Resolution
	if s.trusted || s.moved != nil || s.standing() < stillFor || w.stillSince > s.window.Since+1 {
		return false
	}
	step := math.Abs(s.window.Expected - s.window.From)
	return step >= stillMoves*digit && step >= 3*s.window.Doubt
}

// added is add with the readings in order that came between an addition and
// its being keyed: they belong to the composition after it.
func (s State) added(e journal.Event) (State, error) {
	m, old := s.moved, s.window
	fell := e
	advised := s.advice != nil && s.advice.Do == coach.Add.String() // on the new level: that is what was followed
	if m != nil && e.T-m.since <= lateKeyed && !advised {
		s.window, fell.T = m.before, m.since
	}
	next, err := s.add(fell)
	if err != nil {
		return next, err
	}
	next.forget()
	if fell.T != e.T {
		next.refill(old)
	}
	return next, nil
}

// undone is undo, after which the reading is watched anew.
func (s State) undone(e journal.Event) (State, error) {
	next, err := s.undo(e)
	if err == nil {
		next.forget()
	}
	return next, err
}

// unused is a line or a reading that was not used, and why.
type unused struct {
	t        float64
	raw, why string
}

// holds is how many lines in a row that are no reading keep an addition back:
// one damaged line says nothing of the reading before it.
const holds = 2

// badLine counts a line that is no reading.
func (s *State) badLine(e journal.Event) {
	s.bad = unused{e.T, e.Raw, e.Why}
	if s.link.State == meter.Opening.String() {
		return // a port is opened in the middle of a line as a rule
	}
	s.badLines++
	s.badRun++
}

// unusedFor is how long a line that was not used is spoken of, s.
const unusedFor = 10.0

// words say what was not used and why.
func (u unused) words() string {
	if u.raw == "" {
		return u.why
	}
	return fmt.Sprintf("“%s”: %s", head(u.raw), u.why)
}

// head is the beginning of a line, for a sentence.
func head(raw string) string {
	const most = 24
	if r := []rune(raw); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return raw
}

// tempGone is how long a meter may send readings without a temperature, s,
// when it has sent one before.
const tempGone = 10.0

// lostTemp reports whether the meter has stopped sending a temperature.
func (s *State) lostTemp() bool {
	return !math.IsNaN(s.last.temp) && s.last.t-s.last.tempAt > tempGone
}
