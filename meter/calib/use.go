package calib

import (
	"fmt"
	"math"
	"slices"
	"time"

	"example.org/halfdrop/chem"
)

// Use is what a calibration is to be used for.
type Use struct {
	At        time.Time
	Electrode string  // empty: not said
	Target    float64 // pH the meter is to show in the end; NaN when unknown
	Present   float64 // pH now; NaN when unknown
	TempC     float64 // °C of the sample; NaN when unknown
	Final     bool    // for the final reading, not on the way to it
	Tolerance float64 // half width of what the reading is to lie in; 0 when unknown

	Checked time.Time // of the latest check in standards that the calibration stood; zero for none
}

// Ages of a calibration.
const (
	ageOften = 4 * time.Hour
	ageAmber = 12 * time.Hour
	ageStop  = 24 * time.Hour
)

// Uncalibrated is the finding for a run without any calibration, by what the meter sends;
// neither while that is not known.
func Uncalibrated(mv, ph bool) Finding {
	f := Finding{Code: CodeNone, Level: Remark, Basis: basisAge, Text: "no calibration of this electrode is known: "}
	switch {
	case ph:
		f.Text += "the pH rests on what the meter was calibrated with"
	case mv:
		f.Text += "its mV become the pH of an ideal electrode; calibrate it in standards"
	default:
		f.Text += "a pH that the meter sends rests on what the meter was calibrated with, mV become that of an ideal electrode"
	}
	return f
}

// For judges whether the calibration fits a use: age, bracket, temperature,
// electrode. A reading on the way to the aim gets no heavier than a remark
// from bracket and temperature; the final one can be stopped.
func (c Calibration) For(u Use) []Finding {
	var out []Finding
	add := func(f Finding, ok bool) {
		if ok {
			out = append(out, f)
		}
	}
	if !c.Usable() {
		out = append(out, Finding{Code: CodeRefused, Level: Stop, Text: "the last calibration was not accepted: " + c.Summary()})
	}
	if u.Electrode != "" && c.Electrode != "" && !SameName(u.Electrode, c.Electrode) {
		out = append(out, Finding{Code: CodeElectrode, Level: Stop, Basis: basisChange,
			Text: fmt.Sprintf("electrode %s was calibrated, not %s", c.Electrode, u.Electrode)})
	}
	add(c.age(u.At, u.Checked))
	add(c.bracket(u, "the aim", u.Target))
	if u.Final {
		add(c.bracket(u, "the reading", u.Present))
	}
	add(c.mismatch(u))
	add(c.loose(u))
	return out
}

// Shares of the tolerance that the spread of a calibration at the aim may take: a
// third of it is passed over, all of it leaves nothing (choice).
const (
	loosePass = 0.33
	looseStop = 1.0
)

// loose says that a calibration is too little known for a tolerance.
func (c Calibration) loose(u Use) (Finding, bool) {
	if !(u.Tolerance > 0) || math.IsNaN(u.Target) || !c.Usable() {
		return Finding{}, false
	}
	sd := c.SpreadAt(u.Target, chem.Celsius(c.TempC))
	f := Finding{Code: CodeLoose, Level: limit(sd/u.Tolerance, loosePass, looseStop), Basis: basisLoose,
		Text: fmt.Sprintf("the calibration gives the pH to ± %.2g at the aim, and the tolerance is ±%g: ", sd, u.Tolerance)}
	if c.labelsAt(u.Target) > mostlyLabels*sd {
		f.Text += "most of that comes from the labels of the standards; a third standard, or primary ones, would do better"
	} else {
		f.Text += "dip again, or take a third standard"
	}
	if f.Level == Stop && !u.Final {
		f.Level = Remark
	}
	return f, f.Level != Pass
}

// mostlyLabels is the part of a spread from which on no better reading helps (choice).
const mostlyLabels = 0.7

// labelsAt is the standard deviation of a pH that would be left if the standards had
// been read without any spread.
func (c Calibration) labelsAt(ph float64) float64 {
	points := slices.Clone(c.Points)
	for i := range points {
		points[i].SD, points[i].Cov = 0, nil
	}
	f, err := FitPoints(points)
	if err != nil {
		return 0
	}
	return f.SpreadAt(ph, chem.Celsius(c.TempC))
}

// MisfitLine says that a line for mV is kept, and that the meter sends none.
func MisfitLine(c Calibration) Finding {
	return Finding{Code: CodeMisfit, Level: Stop, Basis: basisInside,
		Text: "the meter sends only pH, and the calibration kept" + ofElectrode(c) + " is for its mV and is not applied: what it shows is by its own calibration; let it send mV, or check it in standards"}
}

// MisfitCheck says that a check of the pH is kept, and that the meter sends mV.
func MisfitCheck(c Calibration) Finding {
	return Finding{Code: CodeMisfit, Level: Stop, Basis: basisInside,
		Text: "the meter sends only mV, and the calibration kept" + ofElectrode(c) + " is only a check of its pH: the pH is that of an ideal electrode; calibrate it in standards"}
}

func ofElectrode(c Calibration) string {
	if c.Electrode == "" {
		return ""
	}
	return " of electrode " + c.Electrode
}

// words are what a finding is about in a word or two, for where there is no room
// for more.
var words = map[Code]string{
	CodeAge: "calibrated long ago", CodeBracket: "outside the standards", CodeMismatch: "not at the standards' temperature",
	CodeElectrode: "another electrode was calibrated", CodeRefused: "the calibration was not accepted", CodeMisfit: "the calibration is not for this meter",
	CodeShift: "it has shifted, by the check in standards", CodeSlope: "the slope has changed", CodeAlike: "the standards read alike",
	CodeNone: "no calibration is known", CodeLoose: "the calibration is loose",
}

// Word is what the finding is about in a word or two.
func (f Finding) Word() string {
	if w := words[f.Code]; w != "" {
		return w
	}
	return "check the calibration"
}

// Brief is the calibration for the head of a screen: electrode, slope, age.
func (c Calibration) Brief(now time.Time) string {
	name := c.Electrode
	if name != "" {
		name += " "
	}
	if c.Checks() {
		return fmt.Sprintf("%smeter checked, %s", name, Ago(now.Sub(c.At)))
	}
	return fmt.Sprintf("%s%.1f %%, %s", name, c.SlopePct, Ago(now.Sub(c.At)))
}

// age judges how old a calibration is. A check that it stood takes the reminder of
// every few hours away; it makes the calibration no younger.
func (c Calibration) age(now, checked time.Time) (Finding, bool) {
	age := now.Sub(c.At)
	f := Finding{Code: CodeAge, Basis: basisAge, Text: "calibrated " + Ago(age) + " ago"}
	stood := checked.After(c.At)
	if stood {
		f.Text += ", checked in standards " + Ago(now.Sub(checked)) + " ago"
	}
	switch {
	case age < -time.Minute:
		f.Level, f.Text = Remark, "the calibration is dated in the future: check the clock"
	case age > ageStop:
		f.Level, f.Text = Stop, f.Text+", more than a day: calibrate again"
	case age > ageAmber:
		f.Level, f.Text = Remark, f.Text+": calibrate again soon"
	case age > ageOften && stood && now.Sub(checked) <= ageOften:
		f.Level, f.Basis, f.Text = Note, basisOften, f.Text+": it held, which is not a new calibration"
	case age > ageOften:
		f.Level, f.Basis, f.Text = Note, basisOften, f.Text+": many laboratories would repeat it by now"
	default:
		return f, false
	}
	return f, true
}

// Ago is how long something is past, in a word or two: "20 min", "5 h", "3 days".
func Ago(d time.Duration) string {
	if d < 100*time.Minute {
		return fmt.Sprintf("%.0f min", math.Max(d.Minutes(), 0))
	}
	if d >= 48*time.Hour {
		return fmt.Sprintf("%.0f days", d.Hours()/24)
	}
	return fmt.Sprintf("%.0f h", d.Hours())
}

func (c Calibration) bracket(u Use, what string, ph float64) (Finding, bool) {
	low, high := c.Range()
	if math.IsNaN(ph) || math.IsNaN(low) || ph >= low && ph <= high {
		return Finding{}, false
	}
	f := Finding{Code: CodeBracket, Level: Remark, Basis: basisBracket,
		Text: fmt.Sprintf("%s, pH %.2f, is not between the standards, pH %.2f to %.2f", what, ph, low, high)}
	if u.Final {
		f.Level = Stop
	}
	return f, true
}

func (c Calibration) mismatch(u Use) (Finding, bool) {
	d := math.Abs(u.TempC - c.TempC)
	if math.IsNaN(d) || d <= warmPass {
		return Finding{}, false
	}
	f := Finding{Code: CodeMismatch, Level: Remark, Basis: basisWarm,
		Text: fmt.Sprintf("the sample is at %.1f °C, the standards were at %.1f °C", u.TempC, c.TempC)}
	if d > warmStop && u.Final {
		f.Level = Stop
	}
	return f, true
}
