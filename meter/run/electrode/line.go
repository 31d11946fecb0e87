// Package electrode is what a run knows of its electrode: the calibration that its pH rests
// on, and a check in standards in the middle of a run; pure.
package electrode

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/recorded"
)

// Line is what a run knows of the calibration of its electrode.
type Line struct {
	told   bool               // whether there is one
	line   *calib.Calibration // what mV become a pH with; nil when none is known
	check  *calib.Calibration // of a meter that calibrates itself; nil when none is known
	mv, ph bool               // what the meter sends, of the latest reading
	looked []calib.Code       // what a person has looked at and passed over

	verified *calib.Verification // the latest check in standards of it; nil for none
}

// Calibrate takes up a calibration as the journal has it: from here on mV become pH with
// it, or, of a check, it is what the pH of the meter is judged by. A null says that none
// was known for this electrode.
func (l *Line) Calibrate(payload json.RawMessage) error {
	l.told, l.looked, l.verified = true, nil, nil
	if string(payload) == "null" {
		l.line, l.check = nil, nil
		return nil
	}
	var c calib.Calibration
	if err := json.Unmarshal(payload, &c); err != nil {
		return fmt.Errorf("calibration: %w", err)
	}
	if c.Checks() {
		l.check = &c
	} else {
		l.line = &c
	}
	return nil
}

// Told reports whether a run was told of its calibration, be it that there is none.
func (l *Line) Told() bool { return l.told }

// Verified is the latest check in standards of the calibration in use; nil for none.
func (l *Line) Verified() *calib.Verification { return l.verified }

// Heard notes what the meter sends, which decides which calibration counts; true when that
// has changed.
func (l *Line) Heard(r *journal.Reading) bool {
	mv, ph := r.MV != nil, r.PH != nil
	if mv == l.mv && ph == l.ph {
		return false
	}
	l.mv, l.ph = mv, ph
	return true
}

// heard reports whether any reading has come.
func (l *Line) heard() bool { return l.mv || l.ph }

// PH is the pH of a reading at a temperature. Millivolts become a pH with the calibration
// of the run, also when the meter sends its own pH beside them; without one, and
// without a pH, by the theoretical slope and a zero at pH 7. False for neither.
func (l *Line) PH(r *journal.Reading, temp chem.Celsius) (float64, bool) {
	if l.applies(r) {
		return l.line.Apply(*r.MV, temp), true
	}
	return recorded.PH(r, float64(temp))
}

// applies reports whether the calibration of the run makes a pH of a reading.
func (l *Line) applies(r *journal.Reading) bool {
	return r.MV != nil && l.line != nil && l.line.Usable()
}

// Fineness is how many digits of pH a reading is worth showing with, least of them known
// already, and the step of its last digit, pH: a tenth of a millivolt is less than 0.002
// pH. Of a meter that sends both the digits are those of its pH.
func (l *Line) Fineness(r *journal.Reading, least int) (digits int, resolution float64) {
	digits = max(least, r.Decimals) // a trailing zero may not have been sent
	switch {
	case r.PH == nil && r.MV != nil:
		digits = max(least, r.Decimals+1)
		return digits, math.Pow10(1-digits) / 59.16
	case l.applies(r):
		return digits, 0.1 / 59.16
	}
	return digits, math.Pow10(-digits)
}

// InUse is the calibration that the pH rests on; nil for none. Before the first
// reading it is the one that is likely to be.
func (l *Line) InUse() *calib.Calibration {
	switch {
	case !l.heard() && l.line != nil:
		return l.line
	case l.heard() && l.mv && l.line != nil && (l.line.Usable() || !l.ph):
		return l.line
	case l.heard() && !l.ph:
		return nil // a check of its pH says nothing of its mV
	}
	return l.check
}

// Misfit is what does not go together: what is kept, and what the meter sends.
func (l *Line) Misfit() (calib.Finding, bool) {
	switch {
	case !l.heard() || l.InUse() != nil:
		return calib.Finding{}, false
	case l.line != nil && !l.mv:
		return calib.MisfitLine(*l.line), true
	case l.check != nil && !l.ph:
		return calib.MisfitCheck(*l.check), true
	}
	return calib.Finding{}, false
}

// Fitness judges the calibration for a use. It is empty when the run has been told nothing
// of one, as on the simulator, and no check in standards was made.
func (l *Line) Fitness(u calib.Use) []calib.Finding {
	if !l.told {
		return l.shifted()
	}
	return append(l.shifted(), l.fits(u)...)
}

// shifted is what the latest check in standards has against the calibration.
func (l *Line) shifted() []calib.Finding {
	if l.verified == nil {
		return nil
	}
	return l.verified.Doubts()
}

// fits is the same without what a check in standards has found.
func (l *Line) fits(u calib.Use) []calib.Finding {
	if f, bad := l.Misfit(); bad {
		return []calib.Finding{f}
	}
	c := l.InUse()
	if c == nil {
		return []calib.Finding{calib.Uncalibrated(l.mv, l.ph)}
	}
	if l.verified != nil && l.verified.Verdict != calib.Refused {
		u.Checked = l.verified.At
	}
	return c.For(u)
}

// Stops are the codes of the findings that withhold the end of a run, and that
// nobody has passed over.
func (l *Line) Stops(list []calib.Finding) (out []calib.Code) {
	for _, f := range list {
		if f.Level == calib.Stop && !slices.Contains(l.looked, f.Code) {
			out = append(out, f.Code)
		}
	}
	return out
}

// PassOver notes that a person has decided to end a run in spite of the first of the findings
// that withhold that: it is the one that was asked about, and the others still are to be.
func (l *Line) PassOver(list []calib.Finding) {
	if stops := l.Stops(list); len(stops) > 0 {
		l.looked = append(slices.Clip(l.looked), stops[0])
	}
}

// sure is how many standard deviations on one side hold 95 % of a normal
// distribution.
const sure = 1.645

// leastShare of the tolerance is left to the coach however little is known of the
// calibration: below that, it is said (choice).
const leastShare = 0.5

// Working is the tolerance that the coach works with: so much less than that of the
// plan that a reading at its edge is truly within the plan's in 95 %, as far as the
// calibration is concerned, at an aim and a temperature.
func (l *Line) Working(tolerance float64, aim chem.PH, temp chem.Celsius) float64 {
	sd := l.SpreadAt(float64(aim), temp)
	if math.IsNaN(sd) {
		return tolerance
	}
	return math.Max(tolerance-sure*sd, leastShare*tolerance)
}

// SpreadAt is the standard deviation of a pH by the calibration; NaN when unknown.
func (l *Line) SpreadAt(ph float64, temp chem.Celsius) float64 {
	c := l.InUse()
	if !l.told || c == nil || math.IsNaN(ph) {
		return math.NaN()
	}
	sd := c.SpreadAt(ph, temp)
	if math.IsInf(sd, 0) {
		return math.NaN()
	}
	return sd
}

// Basis is what the pH rests on at a time, for the head of the screen.
func (l *Line) Basis(at time.Time) string {
	if !l.told && l.verified == nil {
		return ""
	}
	c := l.InUse()
	switch {
	case !l.told:
		return "checked " + calib.Ago(at.Sub(l.verified.At))
	case c == nil:
		return "not calibrated"
	case !c.Usable():
		return "calibration not accepted"
	}
	text := c.Brief(at)
	if l.verified != nil {
		text += ", checked " + calib.Ago(at.Sub(l.verified.At))
	}
	return text
}

// Name is the name of the electrode in use; empty when nobody has said.
func (l *Line) Name() string {
	if c := l.InUse(); c != nil {
		return c.Electrode
	}
	return ""
}
