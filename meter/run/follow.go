package run

import (
	"fmt"
	"math"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
)

// stillness is how long the readings have repeated one number to the last digit.
type stillness struct {
	y     float64
	since float64 // s; NaN before a reading
	seen  float64 // s, of the latest reading that counts
	n     int     // readings that repeated it
	pace  float64 // pH/s, how fast it moved before, over two stretches the slower
	went  float64 // and over the last of them, falling below 0: a step is no pace, nor is there and back
	from  float64 // pH, where the open stretch began
	at    float64 // s, when
}

// Figures of judgement for a reading that stands still where it must move, a
// choice of this project.
const (
	stillFor   = 18.0 // s without a change in any digit after an addition
	stillMoves = 4.0  // digits that it should have made
	deadFor    = 10.0 // s without a change after it had been moving: no meter shows so seldom
	paceSpan   = 1.0  // s over which a pace is taken, at least
	deadRuns   = 3    // readings that repeat one: two alike are chance
	deadTau    = 1.0  // s, quicker than any electrode: what is moving goes on for that long at least
)

// push takes a reading.
func (w *stillness) push(t, y float64) {
	w.seen = t
	if w.since == 0 && w.n == 0 && w.y == 0 {
		*w = stillness{y: y, since: t, seen: t, from: y, at: t}
		return
	}
	if y == w.y {
		w.n++
		return
	}
	if w.n > 0 && t-w.since > paceSpan { // it stood there
		w.went, w.from, w.at = 0, w.y, math.Max(w.at, t-paceSpan)
	}
	// Of a fast meter, single digits from reading to reading are no pace.
	if dt := t - w.at; dt >= paceSpan {
		went := (y - w.from) / dt
		w.pace = 0
		if went*w.went > 0 {
			w.pace = math.Min(math.Abs(went), math.Abs(w.went))
		}
		w.went = went
		w.from, w.at = y, t
	}
	w.y, w.since, w.n = y, t, 0
}

// follow takes a reading into what is known of the present composition; pass are
// those that are no wild ones.
func (s *State) follow(t, ph, resolution float64, pass []probe.Sample) {
	before := s.track.Moving()
	if len(pass) > 0 && ph != s.still.y && s.stuck() { // it moves again: what stood still says nothing
		s.track = s.track.Immerse(t)
		s.eye = s.eye.Broken(t)
		s.version++
	}
	one, _ := s.track.Pickup()
	s.track.Refine(resolution)
	s.track.Absorb(t, ph)
	s.reads++
	if two, _ := s.track.Pickup(); two && !one { // what was seen so far was mixed up
		s.eye = s.eye.Broken(t)
	}
	if _, left := s.track.Pickup(); !left {
		for _, o := range pass {
			s.still.push(o.T, o.PH)
			s.recall(o.T, o.PH)
		}
	}
	if s.track.Moving() != before {
		if moves := s.track.Moves(); len(moves) > 0 && s.untouched() { // the electrode comes from another liquid
			s.eye = s.eye.Placed(moves[len(moves)-1].From)
		}
		s.version++
	}
}

// untouched reports whether nothing was ordered or added yet.
func (s *State) untouched() bool { return s.inForce() == 0 && !s.led }

// halted reports whether the reading stands still where the pace it had must
// have carried it on: between two looks of a slow meter, or for good.
func (s *State) halted() bool {
	w := &s.still
	on := w.pace * deadTau * -math.Expm1(-s.standing()/deadTau)
	return !s.trusted && !s.byHand && w.n >= deadRuns && on >= stillMoves*s.resolution()
}

// standing is for how long the readings have repeated the same number, s. A
// meter that sends nothing says nothing of it.
func (s *State) standing() float64 {
	if !s.last.any {
		return 0
	}
	return s.still.seen - s.still.since
}

// resolution is the step of the last digit, pH.
func (s *State) resolution() float64 { return s.track.Resolution() }

// stuck reports whether the reading stands still to the last digit where it
// must move.
func (s *State) stuck() bool { return s.stopped() || s.unmoved() }

// stopped reports whether the reading stopped dead in the middle of a move: no
// electrode does that.
func (s *State) stopped() bool { return s.halted() && s.standing() >= deadFor }

// unmoved reports whether nothing at all has answered an addition.
func (s *State) unmoved() bool {
	en, ok := s.Latest()
	if !ok || s.trusted || s.track.Unread() || en.Before.State == probe.Empty || s.standing() < stillFor || s.last.t-en.T < stillFor || s.still.since > en.From+1 {
		return false
	}
	step := math.Abs(s.expected(&en) - en.Before.End)
	return step >= stillMoves*s.resolution() && step >= 3*en.Before.SD
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

// tooFew reports whether so few readings have come since the latest addition that what it
// did may not have shown: a meter that has paused shows all of it at once. One that is slow
// is not waited for.
func (s *State) tooFew() bool {
	return s.reads < readsLeast && s.inForce() > 0 && !s.byHand && s.track.Interval() <= staleLeast
}

// readsLeast are the readings after an addition before anything is said on them.
const readsLeast = 3
