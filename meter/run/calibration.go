package run

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/run/view"
)

// calibrated is what a run knows of the calibration of its electrode.
type calibrated struct {
	told   bool               // whether there is one
	line   *calib.Calibration // what mV become a pH with; nil when none is known
	check  *calib.Calibration // of a meter that calibrates itself; nil when none is known
	mv, ph bool               // what the meter sends, of the latest reading
	looked []calib.Code       // what a person has looked at and passed over
}

// calibrate takes up a calibration: from here on mV become pH with it, or, of a
// check, it is what the pH of the meter is judged by. A null says that none was
// known for this electrode.
func (s State) calibrate(e journal.Event) (State, error) {
	s.cal.told, s.cal.looked, s.verified = true, nil, nil
	if string(e.Calibration) == "null" {
		s.cal.line, s.cal.check = nil, nil
		return s, s.at(s.benchTemp)
	}
	var c calib.Calibration
	if err := json.Unmarshal(e.Calibration, &c); err != nil {
		return s, fmt.Errorf("calibration: %w", err)
	}
	if c.Checks() {
		s.cal.check = &c
	} else {
		s.cal.line = &c
	}
	return s, s.at(s.benchTemp)
}

// heard notes what the meter sends: it decides which calibration counts.
func (s *State) heard(r *journal.Reading) {
	mv, ph := r.MV != nil, r.PH != nil
	if mv == s.cal.mv && ph == s.cal.ph {
		return
	}
	s.cal.mv, s.cal.ph = mv, ph
	s.bench.Tolerance = s.working()
	s.offer()
	s.version++
}

// value is the pH of a reading. Millivolts become a pH with the calibration of
// the run, also when the meter sends its own pH beside them; without one, and
// without a pH, by the theoretical slope and a zero at pH 7.
func (s *State) value(r *journal.Reading) (float64, bool) {
	if s.calibrated(r) {
		return s.cal.line.Apply(*r.MV, chem.Celsius(s.tempOf(r))), true
	}
	return recorded.PH(r, s.tempOf(r))
}

// calibrated reports whether the calibration of the run makes a pH of a reading.
func (s *State) calibrated(r *journal.Reading) bool {
	return r.MV != nil && s.cal.line != nil && s.cal.line.Usable()
}

// fineness is how many digits of pH a reading is worth showing with, and the
// step of its last digit, pH: a tenth of a millivolt is less than 0.002 pH. Of
// a meter that sends both the digits are those of its pH.
func (s *State) fineness(r *journal.Reading) (digits int, resolution float64) {
	digits = max(s.last.decimals, r.Decimals) // a trailing zero may not have been sent
	switch {
	case r.PH == nil && r.MV != nil:
		digits = max(s.last.decimals, r.Decimals+1)
		return digits, math.Pow10(1-digits) / 59.16
	case s.calibrated(r):
		return digits, 0.1 / 59.16
	}
	return digits, math.Pow10(-digits)
}

// tempOf is the temperature, °C, at which a reading was taken: its own, else
// the one that the beaker is taken to have.
func (s *State) tempOf(r *journal.Reading) float64 {
	if r.TempC != nil {
		return *r.TempC
	}
	return float64(s.benchTemp)
}

// inUse is the calibration that the pH rests on; nil for none. Before the first
// reading it is the one that is likely to be.
func (s *State) inUse() *calib.Calibration {
	c := &s.cal
	switch {
	case !s.last.any && c.line != nil:
		return c.line
	case s.last.any && c.mv && c.line != nil && (c.line.Usable() || !c.ph):
		return c.line
	case s.last.any && !c.ph:
		return nil // a check of its pH says nothing of its mV
	}
	return c.check
}

// misfit is what does not go together: what is kept, and what the meter sends.
func (s *State) misfit() (calib.Finding, bool) {
	c := &s.cal
	switch {
	case !s.last.any || s.inUse() != nil:
		return calib.Finding{}, false
	case c.line != nil && !c.mv:
		return calib.MisfitLine(*c.line), true
	case c.check != nil && !c.ph:
		return calib.MisfitCheck(*c.check), true
	}
	return calib.Finding{}, false
}

// Fitness is what is to be said of the calibration for the final reading.
func (s *State) Fitness() []calib.Finding { return s.fitness(true) }

// fitness judges the calibration for the aim, and for the last reading when that is
// to be the final one. It is empty when the run has been told nothing of one, as on
// the simulator, and no check in standards was made.
func (s *State) fitness(final bool) []calib.Finding {
	if !s.cal.told {
		return s.shifted()
	}
	return append(s.fits(final), s.shifted()...)
}

// shifted is what the latest check in standards has against the calibration.
func (s *State) shifted() []calib.Finding {
	if s.verified == nil {
		return nil
	}
	return s.verified.Doubts()
}

// fits is the same without what a check in standards has found.
func (s *State) fits(final bool) []calib.Finding {
	if f, bad := s.misfit(); bad {
		return []calib.Finding{f}
	}
	c := s.inUse()
	if c == nil {
		return []calib.Finding{calib.Uncalibrated()}
	}
	temp := float64(s.benchTemp)
	if !math.IsNaN(s.last.temp) {
		temp = s.last.temp
	}
	present := math.NaN()
	if s.last.any {
		present = s.track.Estimate(s.last.t).End
	}
	u := calib.Use{At: s.wall, Target: s.forecast.Aim, Present: present, TempC: temp, Final: final, Tolerance: s.Setup.Tolerance}
	if s.verified != nil && s.verified.Verdict != calib.Refused {
		u.Checked = s.verified.At
	}
	return c.For(u)
}

// stops are the codes of the findings that withhold the end of a run, and that
// nobody has passed over.
func (c *calibrated) stops(list []calib.Finding) (out []calib.Code) {
	for _, f := range list {
		if f.Level == calib.Stop && !slices.Contains(c.looked, f.Code) {
			out = append(out, f.Code)
		}
	}
	return out
}

// sure is how many standard deviations on one side hold 95 % of a normal
// distribution.
const sure = 1.645

// leastShare of the tolerance is left to the coach however little is known of the
// calibration: below that, it is said (choice).
const leastShare = 0.5

// working is the tolerance that the coach works with: so much less than that of the
// plan that a reading at its edge is truly within the plan's in 95 %, as far as the
// calibration is concerned.
func (s *State) working() float64 {
	tol, sd := s.Setup.Tolerance, s.spreadAt(s.forecast.Aim)
	if math.IsNaN(sd) {
		return tol
	}
	return math.Max(tol-sure*sd, leastShare*tol)
}

// spreadAt is the standard deviation of a pH by the calibration; NaN when unknown.
func (s *State) spreadAt(ph float64) float64 {
	c := s.inUse()
	if !s.cal.told || c == nil || math.IsNaN(ph) {
		return math.NaN()
	}
	sd := c.SpreadAt(ph, s.benchTemp)
	if math.IsInf(sd, 0) {
		return math.NaN()
	}
	return sd
}

// lookAtCalibration puts into the view what the pH rests on. When the aim is
// reached on a calibration that is not fit for it, that is said instead until a
// person has decided.
func (s *State) lookAtCalibration(v *view.View) {
	v.Spread = s.spreadAt(v.Settling.End)
	v.Calibration = s.basis()
	if f, bad := s.misfit(); bad && s.cal.told && v.Note == "" {
		v.Note = f.Text // from the first reading on, and not only at the end
	}
	ends := v.Advice.Do == coach.Stop
	list := s.fitness(ends)
	for _, f := range list {
		if f.Code == calib.CodeAge && f.Level == calib.Note && s.verified == nil && v.Note == "" && v.Advice.Reason == coach.Settling {
			v.Note = f.Text + "; k checks it in standards" // while there is time to read it
		}
		if f.Level == calib.Remark || f.Level == calib.Stop {
			v.Cautions = append(v.Cautions, f.Text)
			if ends && v.Doubtful == "" {
				v.Doubtful = f.Word()
			}
		}
	}
	if ends && len(s.cal.stops(list)) > 0 {
		v.Advice = coach.Advice{Do: coach.Check, Reason: coach.Unfit, Aim: v.Advice.Aim, Tolerance: v.Advice.Tolerance}
	}
}

// basis is what the pH rests on, for the head of the screen.
func (s *State) basis() string {
	if !s.cal.told && s.verified == nil {
		return ""
	}
	c := s.inUse()
	switch {
	case !s.cal.told:
		return "checked " + calib.Ago(s.wall.Sub(s.verified.At))
	case c == nil:
		return "not calibrated"
	case !c.Usable():
		return "calibration not accepted"
	}
	text := c.Brief(s.wall)
	if s.verified != nil {
		text += ", checked " + calib.Ago(s.wall.Sub(s.verified.At))
	}
	return text
}
