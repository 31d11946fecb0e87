package run

import (
	"encoding/json"
	"math"
	"slices"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/electrode"
	"example.org/halfdrop/meter/run/order"
	"example.org/halfdrop/meter/run/view"
)

// calibrate takes up a calibration.
func (s State) calibrate(e journal.Event) (State, error) {
	if err := s.line.Calibrate(e.Calibration); err != nil {
		return s, err
	}
	return s, s.at(s.benchTemp)
}

// heard notes what the meter sends: it decides which calibration counts.
func (s *State) heard(r *journal.Reading) {
	if !s.line.Heard(r) {
		return
	}
	s.bench.Tolerance = s.working()
	s.offer()
	s.version++
}

// tempOf is the temperature at which a reading was taken: its own, else the one that
// the beaker is taken to have.
func (s *State) tempOf(r *journal.Reading) chem.Celsius {
	if r.TempC != nil {
		return chem.Celsius(*r.TempC)
	}
	return s.benchTemp
}

// working is the tolerance that the coach works with.
func (s *State) working() float64 {
	return s.line.Working(s.Setup.Tolerance, chem.PH(s.forecast.Aim), s.benchTemp)
}

// Fitness is what is to be said of the calibration for the final reading.
func (s *State) Fitness() []calib.Finding { return s.fitness(true) }

// fitness judges the calibration for the aim, and for the last reading when that is
// to be the final one.
func (s *State) fitness(final bool) []calib.Finding {
	temp := float64(s.benchTemp)
	if t, ok := s.thermometer.Sent(); ok {
		temp = t
	}
	present := math.NaN()
	if s.last.any && s.line.Told() {
		present = s.estimate(s.last.t).End
	}
	u := s.use()
	u.Present, u.TempC, u.Final = present, temp, final
	return s.line.Fitness(u)
}

// use is what the calibration is wanted for.
func (s *State) use() calib.Use {
	return calib.Use{At: s.wall, Target: s.forecast.Aim, Tolerance: s.Setup.Tolerance}
}

// lookAtCalibration puts into the view what the pH rests on. When the aim is
// reached on a calibration that is not fit for it, that is said instead until a
// person has decided.
func (s *State) lookAtCalibration(v *view.View) {
	v.Share = s.Setup.Tolerance - s.working()
	v.Spread = s.line.SpreadAt(v.Settling.End, s.benchTemp)
	v.Calibration = s.line.Basis(s.wall)
	if f, bad := s.line.Misfit(); bad && s.line.Told() && v.Note == "" {
		v.Note = f.Text // from the first reading on, and not only at the end
	}
	ends := v.Advice.Do == coach.Stop
	list := s.fitness(ends)
	for _, f := range list {
		if f.Code == calib.CodeAge && f.Level == calib.Note && s.line.Verified() == nil && v.Note == "" && v.Advice.Reason == coach.Settling {
			v.Note = f.Text + "; k checks it in standards" // while there is time to read it
		}
		if f.Level == calib.Remark || f.Level == calib.Stop {
			v.Cautions = append(v.Cautions, f.Text)
			if ends && v.Doubtful == "" {
				v.Doubtful = f.Word()
			}
		}
	}
	if stops := s.line.Stops(list); ends && len(stops) > 0 { // one at a time, each with an answer of its own
		i := slices.IndexFunc(list, func(f calib.Finding) bool { return f.Code == stops[0] })
		v.Doubtful = list[i].Word()
		v.Cautions = append([]string{list[i].Text}, slices.DeleteFunc(v.Cautions, func(c string) bool { return c == list[i].Text })...)
		v.Advice = coach.Advice{Do: coach.Check, Reason: coach.Unfit, Aim: v.Advice.Aim, Tolerance: v.Advice.Tolerance}
	}
}

// checking takes a step of a check in standards.
func (s State) checking(e journal.Event) (State, error) {
	c := e.Checking
	if c.Step != journal.StepOut {
		err := s.away.Step(e.T, c.Step)
		return s, err
	}
	if s.away.On() {
		return s, electrode.ErrAway
	}
	zero := e.At.Add(-time.Duration(e.T * float64(time.Second)))
	away, err := s.line.Begin(c.Standards, s.benchTemp, s.Setup.Tolerance, zero)
	if err != nil {
		return s, err
	}
	s.away, s.order, s.advice = away, order.Standing{}, nil
	s.track = s.track.Await(0)
	return s, nil
}

// readAway takes a reading while the electrode is out of the beaker.
func (s *State) readAway(e *journal.Event, ph float64) error {
	s.last.t, s.last.ph = e.T, ph
	s.unused = s.unused.Used()
	if e.Reading.TempC != nil {
		s.thermometer.Elsewhere(e.T) // it is that of the standard, and not the beaker's
	}
	if !s.away.Back() {
		s.version++
	}
	return s.away.Read(e.T, e.Reading)
}

// checked takes the verdict of a check.
func (s State) checked(e journal.Event) (State, error) {
	err := s.away.Judged(&s.line, e.Checked)
	return s, err
}

// Unjudged is the verdict, as the journal keeps it, of a check that is over and whose verdict
// is not on record yet; false for none.
func (s State) Unjudged() (payload json.RawMessage, ok bool) {
	return s.away.Judge(&s.line, s.use())
}

// Away reports whether the electrode is out of the beaker for a check in standards,
// so that what is read does not speak of it.
func (s State) Away() bool { return s.away.On() }

// AtStandards reports whether a check in standards goes on that has standards left to read.
func (s State) AtStandards() bool { return s.away.Reading() }

// StandardPH is the pH of the standard that a check is in, or waits to be put into, at the
// temperature of the bench; false where none is in hand or the table has no value there.
func (s State) StandardPH() (ph float64, ok bool) { return s.away.StandardPH(s.benchTemp) }

// Verified is the latest check in standards of the calibration in use; nil for none.
func (s State) Verified() *calib.Verification { return s.line.Verified() }

// Standards are those for a check when nobody names others.
func (s State) Standards() []standards.Standard { return s.line.Standards(s.forecast.Aim, s.benchTemp) }

// offer names the standards for a check anew, when what they hang on has changed.
func (s *State) offer() {
	s.offered = nil
	for _, st := range s.Standards() {
		s.offered = append(s.offered, st.Name)
	}
}

// CheckStandards are the standards that somebody names, "7.00, 4.01", those of
// Standards for none.
func (s State) CheckStandards(text string) ([]journal.Standard, error) {
	list, err := s.line.Named(text)
	if err != nil {
		return nil, err
	}
	if len(list) == 0 {
		list = s.Standards()
	}
	return electrode.ForJournal(list), nil
}

// lookAway puts a check in standards into the view.
func (s *State) lookAway(v *view.View) {
	if v.Verified = s.line.Verified(); !s.away.On() {
		v.Standards = s.offered
		return
	}
	v.Away = s.away.View(&s.line)
}

// awayAdvice is what there is to do while the electrode is out of the beaker.
func (s *State) awayAdvice(idle coach.Advice) coach.Advice {
	idle.Reason = coach.InStandard
	if s.away.Asks() {
		idle.Do = coach.Check
	}
	return idle
}
