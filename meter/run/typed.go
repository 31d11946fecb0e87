package run

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
)

// ByHand is the source of a run whose readings a person reads off and types.
const ByHand = "read off and typed"

// handRead reports whether a source is one whose readings are typed; behind a comma
// stands whose display it is, when that is known.
func handRead(source string) bool {
	return source == ByHand || strings.HasPrefix(source, ByHand+", ")
}

// Figures of judgement of values that are typed, a choice of this project.
const (
	readStale  = 300.0 // s, how old a value may be to add on it
	readFirst  = 20.0  // s after an addition, the soonest that a value is wanted
	readLatest = 60.0  // and the latest
	readAgain  = 20.0  // s from one value to the next of the same composition
	readCreep  = 40.0  // s to the next one when it stands, and creeps unseen
	readMixing = 8.0   // s for an addition to mix in
	readTaus   = 4.0   // time constants of the electrode that are worth waiting for
	perFive    = 5.0   // s, in which such times are told
)

// Next is when the coach wants the next value that is typed.
type Next struct {
	In     float64 // s from now; below zero when it is overdue
	Stands bool    // one in passing would not help: it is wanted when the display stands
	Mixing bool    // nothing was typed since the beaker was changed
	Creeps bool    // the display stands, and what its late part still goes would change the advice
}

// Stands reports whether the present reading was said to stand.
func (s State) Stands() bool { return s.track.Stands() }

// next is when a value is wanted.
func (s *State) next(a coach.Advice, est probe.Estimate, now float64) *Next {
	if s.byHand && s.away.on() && !s.away.back() {
		return &Next{Stands: true}
	}
	if !s.byHand || a.Do != coach.Wait || s.away.on() {
		return nil
	}
	switch {
	case !s.last.any || a.Reason == coach.Stale || a.Reason == coach.Faulty:
		return &Next{}
	case s.track.Unread():
		from := s.begun
		if en, ok := s.Latest(); ok {
			from = en.T
		}
		wait := math.Ceil((readMixing+readTaus*est.Tau)/perFive) * perFive
		return &Next{In: from + min(max(wait, readFirst), readLatest) - now, Mixing: true}
	}
	if s.track.Stands() && a.Reason != coach.HandsOff {
		return &Next{In: s.last.t + readCreep - now, Creeps: true}
	}
	return &Next{In: s.last.t + readAgain - now, Stands: a.Reason == coach.HandsOff}
}

// readOff takes a typed value.
func (s *State) readOff(t, ph, resolution float64, stands bool) {
	if ph != s.still.y && s.unmoved() {
		s.track = s.track.Immerse(t)
	}
	s.still.push(t, ph)
	s.recall(t, ph)
	s.track = s.track.Resolve(resolution).Type(t, ph, stands)
	s.version++
}

// askAfter is how long a reading that has moved as an order would move it is at
// rest, s, before it is asked whether it was given. A value that somebody types
// is looked at in that moment.
func (s *State) askAfter() float64 {
	if s.byHand {
		return 0
	}
	return askAfter
}

// askTold is the same after a first drop was told. Nothing moves of what is typed:
// the drops have to have fallen.
func (s *State) askTold() float64 {
	if s.byHand {
		return askTold + perDrop*s.order.advice.Drops
	}
	return askTold
}

// Slip is a typed value that looks like a slip of the finger. It is asked about
// before it is taken.
type Slip struct {
	Typed string
	Meant string // what was probably meant; empty when nobody knows
	Why   string
	Never bool // no pH can be what was typed
}

// Error is the question in words.
func (e *Slip) Error() string {
	if e.Meant == "" {
		return e.Typed + " " + e.Why
	}
	return e.Typed + " " + e.Why + ": was it " + e.Meant + "?"
}

// Figures of judgement about slips, a choice of this project.
const (
	lowestRead  = 0.0 // pH that a display shows
	highestRead = 14.0
	slipFar     = 0.15 // pH from where the reading should be, at the least
	slipSDs     = 3.0  // and in standard deviations
	slipNear    = 0.06 // pH that what was meant may be off
	slipNearSDs = 1.5
	slipTimes   = 4.0 // how much nearer it has to be
	vagueAt     = 0.3 // pH, the spread from which on nobody knows where it should be
)

// Slip says what is odd about a typed value, nil when nothing is.
func (s State) Slip(t, ph float64, decimals int) *Slip {
	if s.away.on() && ph >= lowestRead && ph <= highestRead {
		return nil // the standard asks
	}
	typed := strconv.FormatFloat(ph, 'f', decimals, 64)
	at, sd := s.due(t)
	within := ph >= lowestRead && ph <= highestRead
	meant, least := "", math.Inf(1)
	for _, c := range slips(typed) {
		x, err := strconv.ParseFloat(c, 64)
		if off := math.Abs(x - at); err == nil && x >= lowestRead && x <= highestRead && off < least {
			meant, least = c, off
		}
	}
	near := math.Max(slipNear, slipNearSDs*sd)
	switch off := math.Abs(ph - at); {
	case !within && meant == "":
		return &Slip{Typed: typed, Never: true, Why: "is not a pH: it must be 0 to 14"}
	case !within:
		return &Slip{Typed: typed, Meant: meant, Never: true, Why: "is not a pH"}
	case meant == "" || sd > vagueAt || off < math.Max(slipFar, slipSDs*sd) || least > near || slipTimes*least > off:
		return nil
	}
	return &Slip{Typed: typed, Meant: meant, Why: fmt.Sprintf("is far from %.2f, where it should be", at)}
}

// due is where the reading should be now, give or take.
func (s *State) due(t float64) (at, sd float64) {
	if !s.last.any {
		low, high := s.foretold[0], s.foretold[1]
		return (low + high) / 2, math.Max((high-low)/4, vagueAt/2)
	}
	est := s.track.Estimate(t)
	if en, ok := s.Latest(); ok && s.track.Unread() && en.Before.State != probe.Empty {
		after, low, high := s.landing(en.Before, &en)
		return after, (high - low) / 4
	}
	return est.Now, math.Hypot(est.SD, est.End-est.Now)
}

// slips are what fingers make of a number that is typed: two digits change their
// places, the point is somewhere else.
func slips(typed string) (out []string) {
	point := len(typed)
	digits := []byte{}
	for i := range len(typed) {
		if typed[i] == '.' {
			point = i
			continue
		}
		digits = append(digits, typed[i])
	}
	with := func(d []byte, at int) string {
		for at > 1 && d[0] == '0' {
			d, at = d[1:], at-1
		}
		return string(d[:at]) + "." + string(d[at:])
	}
	for i := 1; i < len(digits); i++ {
		d := append([]byte(nil), digits...)
		d[i-1], d[i] = d[i], d[i-1]
		if point <= len(d) && d[i-1] != d[i] {
			out = append(out, with(d, point))
		}
	}
	for at := 1; at < len(digits); at++ {
		if at != point {
			out = append(out, with(digits, at))
		}
	}
	return out
}

// readWords say when the next value is wanted.
func (v View) readWords() string {
	switch n := v.Next; {
	case n.Stands && n.In >= 1:
		return "HANDS OFF, then type the pH once it is steady"
	case n.Stands:
		return "READ the pH once it is steady, and type it"
	case n.Creeps && n.In >= 1:
		return fmt.Sprintf("WAIT %.0f s, then type the pH again", n.Told())
	case n.In >= 1:
		return fmt.Sprintf("WAIT %.0f s, or until it is steady, then type the pH", n.Told())
	}
	return "READ the pH and type it"
}

// Due reports whether a value is wanted now.
func (v View) Due() bool { return v.Next != nil && v.Next.In < 1 }

// Told is the time until the value in steps that nobody has to watch, s.
func (n *Next) Told() float64 {
	if n.In > 2*perFive {
		return math.Ceil(n.In/perFive) * perFive
	}
	return math.Ceil(n.In)
}

// ErrTemp is a temperature that no beaker on a bench has.
var ErrTemp = errors.New("is not the temperature of a beaker on a bench, 0.5 to 60 °C")

// warmed takes the temperature of the beaker that a person has read off a
// thermometer. It counts until another one comes; one that a meter sends goes first.
func (s State) warmed(e journal.Event) (State, error) {
	t := *e.TempC
	switch {
	case !onBench(t):
		return s, fmt.Errorf("%g °C %w", t, ErrTemp)
	case !math.IsNaN(s.last.temp):
		return s, errors.New("the meter sends a temperature, which counts")
	}
	s.tempTold = true
	return s, s.at(chem.Celsius(round(t, 1)))
}

// whyRead is why a value is wanted.
func (v View) whyRead() string {
	const how = "Enter if it is still moving, s once it is steady"
	e := v.Settling
	switch {
	case v.Advice.Reason == coach.NoReading && !v.Measured:
		return fmt.Sprintf("rinse and blot the electrode, stir; if it is not at %.3g °C, type the temperature first, as in 21.5C; then what the display shows, such as 7.42: ", float64(v.BenchTemp)) + how
	case v.Advice.Reason == coach.NoReading:
		return "rinse and blot the electrode, stir; then what the display shows, such as 7.42: " + how
	case v.Advice.Reason == coach.Stale:
		return fmt.Sprintf("the last value is %.0f min old; nothing is added on an old value: %s", math.Floor(v.Age/60), how)
	case v.Advice.Reason == coach.Faulty:
		return v.faultWords()
	case v.Next.Stands:
		return fmt.Sprintf("%s ± %s is within the tolerance of %s; it counts once the display is steady: then the value and s", v.end(), v.endSpread(), v.ph(v.Advice.Aim))
	case v.Next.Mixing:
		return "let it mix: " + how
	case v.Next.Creeps:
		return fmt.Sprintf("it looks steady, and still creeps to %s ± %s; a better value would change the advice: %s", v.end(), v.endSpread(), how)
	case e.SD >= vague:
		return "too early to say where it will end: " + how
	}
	return fmt.Sprintf("on its way to about %s ± %s%s: %s", v.end(), v.endSpread(), v.surer(), how)
}

// read takes a value that a person has typed, unless it is to be asked about.
func (s *Session) read(in Intent, t float64) (string, error) {
	if d := s.keeper.State.Slip(t, in.PH, in.Decimals); d != nil && (d.Never || !in.Sure) {
		return "", d
	}
	ph := in.PH
	r := &journal.Reading{PH: &ph, Decimals: in.Decimals, Typed: true, Stands: in.Stands}
	if err := s.keeper.Take(journal.Event{T: t, Kind: journal.Read, Reading: r}); err != nil {
		return "", err
	}
	how := "taken"
	if in.Stands {
		how = "taken as steady"
	}
	return fmt.Sprintf("%.*f %s", in.Decimals, in.PH, how), nil
}
