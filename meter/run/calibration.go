package run

import (
	"encoding/json"
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/journal"
)

// calibrate takes up a calibration: from here on mV become pH with it. A null
// says that none was known for this electrode.
func (s State) calibrate(e journal.Event) (State, error) {
	s.calKnown, s.cal = true, nil
	if string(e.Calibration) == "null" {
		return s, nil
	}
	var c calib.Calibration
	if err := json.Unmarshal(e.Calibration, &c); err != nil {
		return s, fmt.Errorf("calibration: %w", err)
	}
	s.cal = &c
	return s, nil
}

// value is the pH of a reading. Millivolts become a pH with the calibration of
// the run, also when the meter sends its own pH beside them; without one, and
// without a pH, by the theoretical slope and a zero at pH 7.
func (s *State) value(r *journal.Reading) (float64, bool) {
	if s.calibrated(r) {
		return s.cal.Apply(*r.MV, chem.Celsius(s.tempOf(r))), true
	}
	return value(r, s.tempOf(r))
}

// calibrated reports whether the calibration of the run makes a pH of a reading.
func (s *State) calibrated(r *journal.Reading) bool {
	return r.MV != nil && s.cal != nil && !s.cal.Checks() && s.cal.Usable()
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

// cautions are what is to be said of the calibration: nothing when the run
// has been told nothing of one, as on the simulator.
func (s *State) cautions(aim, present float64, final bool) []string {
	if !s.calKnown {
		return nil
	}
	list := []calib.Finding{calib.Uncalibrated()}
	if s.cal != nil {
		temp := float64(s.benchTemp)
		if !math.IsNaN(s.last.temp) {
			temp = s.last.temp
		}
		list = s.cal.For(calib.Use{At: s.wall, Target: aim, Present: present, TempC: temp, Final: final})
	}
	var out []string
	for _, f := range list {
		if f.Level != calib.Pass && f.Level != calib.Note {
			out = append(out, f.Text)
		}
	}
	return out
}
