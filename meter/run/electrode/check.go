package electrode

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/run/view"
)

// In the middle of a long run the electrode can be taken out of the beaker and
// checked in standards. What it reads there is no evidence on the beaker; what the
// check finds changes no reading, and goes on record.

// Check is a check in standards that is going on; the zero value is none. It is a value:
// what it points at is never changed.
type Check struct {
	proc    *walk.Procedure // nil while the electrode is in the beaker; never changed, but exchanged
	stopped bool            // no more standards are to be read
	last    meter.Reading   // the latest that came
	verdict *calib.Verification
}

// On reports whether the electrode is out of the beaker.
func (a *Check) On() bool { return a.proc != nil }

// Back reports whether it is on its way back into the beaker, of a check that is on.
func (a *Check) Back() bool { return a.stopped || a.proc.Stage() == walk.Done }

// Reading reports whether a check goes on that has standards left to read.
func (a *Check) Reading() bool { return a.On() && !a.Back() }

// Asks reports whether a check asks about what it reads.
func (a *Check) Asks() bool { return a.Reading() && a.proc.Stage() == walk.Ask }

// BreakOff ends the reading of standards: where the electrode has been meanwhile nobody
// knows.
func (a *Check) BreakOff() { a.stopped = a.On() }

// Errors of a check in standards.
var (
	ErrAway    = errors.New("the electrode is already out for a check")
	ErrNotAway = errors.New("no check in standards is in progress")
)

// mostStandards is how many standards a check in a run may have (choice).
const mostStandards = 3

// Step takes a step at t, s, but for the first.
func (a *Check) Step(t float64, step string) (err error) {
	switch {
	case !a.On():
		return ErrNotAway
	case step == journal.StepStop:
		a.stopped = true
		return nil
	case a.Back():
		return errors.New("all standards have been read: the electrode goes back into the beaker")
	}
	switch step {
	case journal.StepIn:
		if a.proc.Stage() != walk.Immerse && a.proc.Stage() != walk.Ask {
			return errors.New("it is in the standard already")
		}
		a.proc = a.proc.Put(t)
	case journal.StepTake:
		if a.proc.Stage() == walk.Immerse {
			return errors.New("nothing has been read in the standard yet")
		}
		if a.last.Flags.Has(meter.Typed) {
			a.proc, err = a.proc.Typed(t, a.last, true)
		} else {
			a.proc, err = a.proc.Accepted(t)
		}
	default:
		err = fmt.Errorf("a check has no step %q", step)
	}
	return err
}

// Begin is a check in standards of the line in use, at a temperature and judged by a
// tolerance; zero is the time of day of second 0 of the run.
func (l *Line) Begin(named []journal.Standard, temp chem.Celsius, tolerance float64, zero time.Time) (Check, error) {
	var list []standards.Standard
	for _, c := range named {
		st, err := standards.Labelled(standards.Set(c.Set), c.Name)
		if err != nil {
			return Check{}, err
		}
		if _, err := st.PH(temp); err != nil {
			return Check{}, err
		}
		list = append(list, st)
	}
	if len(list) == 0 || len(list) > mostStandards {
		return Check{}, fmt.Errorf("a check is in one standard to %d, not in %d", mostStandards, len(list))
	}
	return Check{proc: walk.During(list, temp, tolerance, zero, l.InUse())}, nil
}

// Read takes a reading while the electrode is out of the beaker.
func (a *Check) Read(t float64, r *journal.Reading) (err error) {
	a.last = recorded.Sent(r)
	switch {
	case a.Back():
	case r.Typed:
		a.proc, err = a.proc.Typed(t, a.last, false)
	default:
		a.proc, err = a.proc.Pushed(t, a.last)
	}
	return err
}

// Judge is the verdict, as the journal keeps it, of a check that is over and whose verdict
// is not on record yet; false for none.
func (a *Check) Judge(l *Line, u calib.Use) (payload json.RawMessage, ok bool) {
	if !a.On() || !a.Back() || a.verdict != nil {
		return nil, false
	}
	u.Electrode = l.Name()
	points, _ := a.proc.Points()
	v, err := calib.Verify(u, l.InUse(), points)
	if err != nil {
		return nil, false // nothing was read
	}
	payload, err = json.Marshal(v)
	return payload, err == nil
}

// Judged takes the verdict of a check, as the journal has it.
func (a *Check) Judged(l *Line, payload json.RawMessage) error {
	v, err := calib.ReadVerification(payload)
	if err != nil {
		return err
	}
	l.verified = &v
	if a.On() {
		a.verdict = &v
	}
	return nil
}

// StandardPH is the pH of the standard that a check is in, or waits to be put into, at a
// temperature; false where none is in hand or the table has no value there.
func (a *Check) StandardPH(temp chem.Celsius) (ph float64, ok bool) {
	if !a.On() {
		return 0, false
	}
	c, _, _ := a.proc.Current()
	ph, err := c.Standard.PH(temp)
	return ph, err == nil
}

// View is a check that is on as it is shown.
func (a *Check) View(l *Line) *view.Away {
	w := &view.Away{Stage: a.proc.Stage(), End: math.NaN(), Verdict: a.verdict}
	if a.Back() {
		w.Stage = walk.Done
	} else {
		c, n, of := a.proc.Current()
		w.Standard, w.Name, w.Number, w.Of = c.Standard.String(), c.Standard.Name, n, of
		w.Known = l.restsOn(c.Standard)
		if w.Stage == walk.Ask {
			w.Odd = a.proc.Why()
		}
		if g := a.proc.Gather(); g != nil {
			if e, k := g.Latest(), nernst.Slope(g.Temp()); e.Known && e.SD < view.VagueSD*k {
				w.End, w.SD = nernst.PH(e.MV, g.Temp()), e.SD/k
			}
		}
	}
	return w
}
