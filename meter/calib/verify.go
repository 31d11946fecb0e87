package calib

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/phrase"
)

// Verification is a check of a calibration in one or more standards while it is in
// use: by how much what is read has shifted. It changes no reading.
type Verification struct {
	Format    int       `json:"format"`
	Electrode string    `json:"electrode,omitempty"`
	At        time.Time `json:"at"`
	Seen      []Seen    `json:"seen"`

	Aim       float64 `json:"aim"`
	Tolerance float64 `json:"tolerance,omitempty"`
	Shift     float64 `json:"shift"`                  // pH by which a reading at the aim is too high
	ShiftSD   float64 `json:"shift_sd"`               // its standard deviation
	SlopePct  float64 `json:"slope_pct,omitempty"`    // of the Nernst slope, now; 0 for one standard
	SlopeSD   float64 `json:"slope_sd_pct,omitempty"` // standard deviation of SlopePct

	Verdict  Verdict   `json:"verdict"`
	Findings []Finding `json:"findings"`
}

// Seen is what was read in one standard.
type Seen struct {
	Point Point   `json:"point"`
	Read  float64 `json:"read"`     // pH by the calibration in use
	Shift float64 `json:"shift"`    // Read minus the pH of the standard
	SD    float64 `json:"shift_sd"` // of the shift: of the readings then and now, and of the bottle where it is another
}

// Figures of judgement of a check in use, a choice of this project.
const (
	shiftPass  = 0.33 // of the tolerance: as for the spread of a calibration
	shiftStop  = 1.0
	shiftSDs   = 2.0  // spreads from which on a shift is one
	slopeSince = 0.01 // of the slope, by which it may have changed where one standard says nothing of it
)

// ErrNothingRead says that a check has nothing to judge.
var ErrNothingRead = errors.New("no standard was read")

// Verify judges what was read in standards by the calibration in use, nil for none:
// of a meter that sends pH what it shows is read, else the line makes it of the mV.
// The error is ErrNothingRead.
func Verify(u Use, inUse *Calibration, points []Point) (Verification, error) {
	v := Verification{Format: Format, Electrode: u.Electrode, At: u.At, Aim: u.Target, Tolerance: u.Tolerance}
	if len(points) == 0 {
		return v, fmt.Errorf("calib: %w", ErrNothingRead)
	}
	cov := since(inUse, points)
	order := make([]int, len(points)) // by rising pH
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(points[i].PH, points[j].PH) })
	for _, i := range order {
		v.Seen = append(v.Seen, seen(inUse, points[i], math.Sqrt(cov[i][i])))
	}
	if v.Tolerance <= 0 {
		v.Tolerance = checkPass // as for a check standard
	}
	if math.IsNaN(v.Aim) {
		v.Aim = v.Seen[0].Point.PH
	}
	of := v.atAim(order, cov)
	for _, s := range v.Seen {
		v.Findings = append(v.Findings, Finding{Code: CodeCheck, Level: Note, Text: s.words()})
	}
	v.Findings = append(v.Findings, v.judgeSlope(inUse, points, order, cov)...)
	v.Findings = append(v.Findings, v.judgeShift(readSD(points, of)))
	v.Findings = append(v.Findings, judgeReadings(points)...)
	v.Verdict = verdict(v.Findings)
	return v, nil
}

// seen is a point as the calibration reads it, with the spread of the shift.
func seen(c *Calibration, p Point, sd float64) Seen {
	s := Seen{Point: p, SD: phrase.Decimals(sd, 4)}
	t := chem.Celsius(p.TempC)
	switch {
	case c != nil && !c.Checks() && c.Usable() && p.MV != nil:
		s.Read = c.Apply(*p.MV, t)
	case p.Shown != nil:
		s.Read = *p.Shown
	default:
		s.Read = nernst.PH(p.Potential(), t)
	}
	s.Read = phrase.Decimals(s.Read, 4)
	s.Shift = phrase.Decimals(s.Read-p.PH, 4)
	return s
}

func (s Seen) words() string {
	return fmt.Sprintf("in %s, pH %.2f at %.1f °C, it reads %.2f: %+.2f ± %s", s.Point.Label(), s.Point.PH, s.Point.TempC, s.Read, hundredth(s.Shift), ofHundredths(s.SD))
}

// hundredth is a number to two decimals that is never minus zero.
func hundredth(x float64) float64 { return phrase.Decimals(x, 2) + 0 }

// ofHundredths is a standard deviation beside a pH with two decimals.
func ofHundredths(sd float64) string { return fmt.Sprintf("%.2f", math.Max(sd, 0.01)) }

// atAim carries the shift to the aim, on the line through the two standards next to
// it, or of one alone, where its slope is taken to have stayed; it is so much of the
// shift at each point.
func (v *Verification) atAim(order []int, cov [][]float64) (of []float64) {
	of = make([]float64, len(order))
	if len(v.Seen) == 1 {
		a := v.Seen[0]
		of[0] = 1
		v.Shift, v.ShiftSD = a.Shift, phrase.Decimals(math.Hypot(a.SD, slopeSince*(v.Aim-a.Point.PH)), 4)
		return of
	}
	i := 1
	for i < len(v.Seen)-1 && v.Aim > v.Seen[i].Point.PH {
		i++
	}
	a, b := v.Seen[i-1], v.Seen[i]
	w := (v.Aim - a.Point.PH) / (b.Point.PH - a.Point.PH)
	of[order[i-1]], of[order[i]] = 1-w, w
	v.Shift, v.ShiftSD = phrase.Decimals((1-w)*a.Shift+w*b.Shift, 4), phrase.Decimals(spread(cov, of), 4)
	return of
}

// judgeSlope compares the slope of two standards or more with that in use: it is a
// change of the slope when the shift in the outer two differs beyond doubt.
func (v *Verification) judgeSlope(c *Calibration, points []Point, order []int, cov [][]float64) []Finding {
	if len(points) < 2 {
		return nil
	}
	if f, ok := findAlike(points); ok {
		return []Finding{f}
	}
	f, err := FitPoints(points)
	if err != nil {
		return nil // two standards too near to each other say nothing of it
	}
	v.SlopePct, v.SlopeSD = phrase.Decimals(f.SlopePercent(), 2), phrase.Decimals(100*f.SlopeSD, 2)
	out := Finding{Code: CodeSlope, Level: Pass, Basis: basisStep, Text: fmt.Sprintf("slope %.1f ± %s %%", v.SlopePct, ofTenths(v.SlopeSD))}
	if c != nil && !c.Checks() && points[0].MV != nil {
		out.Text += fmt.Sprintf(", where the calibration gave %.1f ± %s %%", c.SlopePct, ofTenths(100*c.fit().SlopeSD))
		of := make([]float64, len(points))
		last := len(order) - 1
		of[order[0]], of[order[last]] = -1, 1
		if math.Abs(v.Seen[last].Shift-v.Seen[0].Shift) > stepSDs*spread(cov, of) {
			out.Level = Remark
			out.Text += ": it has changed; a wrong standard, or a fault"
		}
	}
	return []Finding{out}
}

// judgeShift judges the shift at the aim by the tolerance. One that its own spread
// may make is none; a spread as wide as the tolerance tells nothing. Of that spread
// so much is of the readings of the check.
func (v *Verification) judgeShift(own float64) Finding {
	f := Finding{Code: CodeShift, Basis: basisShift, Level: limit(v.Shift/v.Tolerance, shiftPass, shiftStop)}
	f.Text = fmt.Sprintf("by the check in standards the pH is off by %+.2f ± %s at the aim, %.2f, where the tolerance is ±%g", hundredth(v.Shift), ofHundredths(v.ShiftSD), v.Aim, v.Tolerance)
	there := math.Abs(v.Shift) > shiftSDs*v.ShiftSD
	switch {
	case f.Level == Stop && there:
		f.Text += ": calibrate again"
	case f.Level == Stop:
		f.Level = Remark
		f.Text += ": not certain; dip once more, or calibrate again"
	case f.Level == Remark && there:
		f.Text += ": calibrate again before the last additions"
	case v.ShiftSD > shiftStop*v.Tolerance && own*own < v.ShiftSD*v.ShiftSD/2:
		f.Level = Remark
		f.Text += ": too vague to say that the calibration holds; it was itself read no better: calibrate again, with --plan"
	case v.ShiftSD > shiftStop*v.Tolerance:
		f.Level = Remark
		f.Text += ": too vague to say that the calibration holds; check again, and leave it longer"
	default:
		f.Level = Pass
		f.Text += ": the calibration holds"
	}
	return f
}

// Words are the verdict for people.
func (v Verification) Words() string {
	for _, f := range v.Findings {
		switch {
		case f.Code == CodeAlike:
			return "the standards read alike: check cap, bulb and plug"
		case f.Code == CodeShift && f.Level != Pass:
			_, words, _ := strings.Cut(f.Text, ": ")
			return words
		}
	}
	if v.Verdict == Accepted {
		return "the calibration holds"
	}
	return "the calibration holds, with a remark"
}

// Summary is the check in a line.
func (v Verification) Summary() string {
	var b strings.Builder
	b.WriteString("checked: off by ")
	for _, s := range v.Seen {
		fmt.Fprintf(&b, "%+.2f ± %s in %s, ", hundredth(s.Shift), ofHundredths(s.SD), s.Point.Label())
	}
	fmt.Fprintf(&b, "%+.2f ± %s pH at the aim", hundredth(v.Shift), ofHundredths(v.ShiftSD))
	if v.SlopePct != 0 {
		fmt.Fprintf(&b, "; slope %.1f ± %s %%", v.SlopePct, ofTenths(v.SlopeSD))
	}
	return b.String() + ": " + v.Words()
}

// Doubts are the findings that go with the final reading: what weighs more than a
// note, the heaviest first.
func (v Verification) Doubts() (out []Finding) {
	for _, level := range []Level{Stop, Remark} {
		out = append(out, phrase.Only(v.Findings, func(f Finding) bool { return f.Level == level })...)
	}
	return out
}

// ReadVerification reads the JSON of a journal.
func ReadVerification(text []byte) (Verification, error) {
	var v Verification
	if err := json.Unmarshal(text, &v); err != nil {
		return v, fmt.Errorf("calib: %w", err)
	}
	if len(v.Seen) == 0 {
		return v, fmt.Errorf("calib: %w", ErrNothingRead)
	}
	return v, nil
}
