package run

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/recorded"
)

// In the middle of a long run the electrode can be taken out of the beaker and
// checked in standards. What it reads there is no evidence on the beaker; what the
// check finds changes no reading, and goes on record.

// away is a check in standards that is going on.
type away struct {
	proc    *calib.Procedure // nil while the electrode is in the beaker; never changed, but exchanged
	stopped bool             // no more standards are to be read
	last    meter.Reading    // the latest that came
	verdict *calib.Verification
}

// on reports whether the electrode is out of the beaker.
func (a *away) on() bool { return a.proc != nil }

// back reports whether it is on its way back into the beaker.
func (a *away) back() bool { return a.stopped || a.proc.Stage() == calib.Done }

// Errors of a check in standards.
var (
	ErrAway    = errors.New("the electrode is already out for a check")
	ErrNotAway = errors.New("no check in standards is in progress")
)

// mostStandards is how many standards a check in a run may have (choice).
const mostStandards = 3

// checking takes a step of a check.
func (s State) checking(e journal.Event) (State, error) {
	c := e.Checking
	a := &s.away
	switch {
	case c.Step == journal.StepOut:
		return s.out(e)
	case !a.on():
		return s, ErrNotAway
	case c.Step == journal.StepStop:
		a.stopped = true
		return s, nil
	case a.back():
		return s, errors.New("all standards have been read: the electrode goes back into the beaker")
	}
	var err error
	switch c.Step {
	case journal.StepIn:
		if a.proc.Stage() != calib.Immerse && a.proc.Stage() != calib.Ask {
			return s, errors.New("it is in the standard already")
		}
		a.proc = a.proc.Put(e.T)
	case journal.StepTake:
		if a.proc.Stage() == calib.Immerse {
			return s, errors.New("nothing has been read in the standard yet")
		}
		if a.last.Flags.Has(meter.Typed) {
			a.proc, err = a.proc.Typed(e.T, a.last, true)
		} else {
			a.proc, err = a.proc.Accepted(e.T)
		}
	default:
		err = fmt.Errorf("a check has no step %q", c.Step)
	}
	return s, err
}

// out begins a check.
func (s State) out(e journal.Event) (State, error) {
	if s.away.on() {
		return s, ErrAway
	}
	var list []calib.Standard
	for _, c := range e.Checking.Standards {
		st, err := calib.Labelled(calib.Set(c.Set), c.Name)
		if err != nil {
			return s, err
		}
		if _, err := st.PH(s.benchTemp); err != nil {
			return s, err
		}
		list = append(list, st)
	}
	if len(list) == 0 || len(list) > mostStandards {
		return s, fmt.Errorf("a check is in one standard to %d, not in %d", mostStandards, len(list))
	}
	zero := e.At.Add(-time.Duration(e.T * float64(time.Second)))
	s.away = away{proc: calib.During(list, s.benchTemp, s.Setup.Tolerance, zero, s.inUse())}
	s.order, s.advice = order{}, nil
	s.track = s.track.Await(0)
	return s, nil
}

// readAway takes a reading while the electrode is out of the beaker.
func (s *State) readAway(e *journal.Event, ph float64) error {
	r := e.Reading
	s.last.t, s.last.ph, s.last.raw = e.T, ph, e.Raw
	s.refusal, s.badRun = "", 0
	if r.TempC != nil {
		s.last.tempAt = e.T // it is that of the standard, and not the beaker's
	}
	a := &s.away
	a.last = recorded.Sent(r)
	if a.back() {
		return nil
	}
	var err error
	if r.Typed {
		a.proc, err = a.proc.Typed(e.T, a.last, false)
	} else {
		a.proc, err = a.proc.Pushed(e.T, a.last)
	}
	s.version++
	return err
}

// checked takes the verdict of a check.
func (s State) checked(e journal.Event) (State, error) {
	v, err := calib.ReadVerification(e.Checked)
	if err != nil {
		return s, err
	}
	s.verified = &v
	if s.away.on() {
		s.away.verdict = &v
	}
	return s, nil
}

// Unjudged is the verdict, as the journal keeps it, of a check that is over and whose verdict
// is not on record yet; false for none.
func (s State) Unjudged() (payload json.RawMessage, ok bool) {
	a := &s.away
	if !a.on() || !a.back() || a.verdict != nil {
		return nil, false
	}
	points, _ := a.proc.Points()
	v, err := calib.Verify(calib.Use{At: s.wall, Electrode: s.electrode(), Target: s.forecast.Aim, Tolerance: s.Setup.Tolerance}, s.inUse(), points)
	if err != nil {
		return nil, false // nothing was read
	}
	payload, err = json.Marshal(v)
	return payload, err == nil
}

// electrode is the name of the electrode in use; empty when nobody has said.
func (s *State) electrode() string {
	if c := s.inUse(); c != nil {
		return c.Electrode
	}
	return ""
}

// Away reports whether the electrode is out of the beaker for a check in standards,
// so that what is read does not speak of it.
func (s State) Away() bool { return s.away.on() }

// AtStandards reports whether a check in standards goes on that has standards left to read.
func (s State) AtStandards() bool { return s.away.on() && !s.away.back() }

// StandardPH is the pH of the standard that a check is in, or waits to be put into, at the
// temperature of the bench; false where none is in hand or the table has no value there.
func (s State) StandardPH() (ph float64, ok bool) {
	if !s.away.on() {
		return 0, false
	}
	c, _, _ := s.away.proc.Current()
	ph, err := c.Standard.PH(s.benchTemp)
	return ph, err == nil
}

// Verified is the latest check in standards of the calibration in use; nil for none.
func (s State) Verified() *calib.Verification { return s.verified }

// Standards are those for a check when nobody names others: two of the calibration in
// use, on both sides of the aim if there are, the nearer one first.
func (s State) Standards() []calib.Standard {
	aim := s.forecast.Aim
	var list []calib.Standard
	if c := s.inUse(); c != nil {
		for _, p := range c.Points {
			if st, err := calib.Labelled(p.Set, p.Standard); err == nil {
				list = append(list, st)
			}
		}
	}
	if len(list) == 0 {
		list, _ = calib.Bracketing(calib.Technical, aim) // the nearest, where none enclose it
	}
	list = slices.DeleteFunc(slices.Clone(list), func(st calib.Standard) bool { _, err := st.PH(s.benchTemp); return err != nil })
	slices.SortStableFunc(list, func(a, b calib.Standard) int {
		return int(math.Copysign(1, math.Abs(a.Nominal-aim)-math.Abs(b.Nominal-aim)))
	})
	for i := 1; i < len(list); i++ { // one on the other side goes before a nearer one on this side
		if (list[i].Nominal-aim)*(list[0].Nominal-aim) < 0 {
			list[1], list[i] = list[i], list[1]
			break
		}
	}
	return list[:min(2, len(list))]
}

// offer names the standards for a check anew, when what they hang on has changed.
func (s *State) offer() {
	s.offered = nil
	for _, st := range s.Standards() {
		s.offered = append(s.offered, st.Name)
	}
}

// CheckStandards are the standards that somebody names, "7.00, 4.01", those of
// Standards for none. A bare name is looked for in the set of the calibration first.
func (s State) CheckStandards(text string) ([]journal.Standard, error) {
	var list []calib.Standard
	set := calib.Technical
	if c := s.inUse(); c != nil && len(c.Points) > 0 {
		set = c.Points[0].Set
	}
	for _, name := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' || r == ';' }) {
		st, err := calib.Find(name, set)
		if err != nil {
			return nil, err
		}
		list = append(list, st)
	}
	if len(list) == 0 {
		list = s.Standards()
	}
	out := make([]journal.Standard, len(list))
	for i, st := range list {
		out[i] = journal.Standard{Name: st.Name, Set: string(st.Set)}
	}
	return out, nil
}
