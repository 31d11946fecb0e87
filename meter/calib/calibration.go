package calib

import (
	"fmt"
	"math"
	"time"

	"example.org/halfdrop/chem"
)

// Format is the version of the JSON of a Calibration.
const Format = 1

// Sends says what the meter sends, and with it what a calibration here is.
type Sends string

// The two kinds.
const (
	SendsMV Sends = "mv" // mV, also beside a pH: the electrode is calibrated here
	SendsPH Sends = "ph" // only pH: the meter's own calibration is checked
)

// Calibration is what was found, as the record and the history keep it.
type Calibration struct {
	Format    int       `json:"format"`
	Electrode string    `json:"electrode,omitempty"`
	At        time.Time `json:"at"`
	Meter     string    `json:"meter,omitempty"` // where the readings came from
	Operator  string    `json:"operator,omitempty"`
	Sends     Sends     `json:"sends"`
	Points    []Point   `json:"points"`
	Check     *Point    `json:"check,omitempty"`

	TempC      float64 `json:"temp_c"`      // mean of the points
	SlopePct   float64 `json:"slope_pct"`   // of the Nernst slope; of the meter's own line when it sends only pH
	OffsetMV   float64 `json:"offset_mv"`   // at pH 7
	ResidualPH float64 `json:"residual_ph"` // greatest distance of a point from the line
	TauS       float64 `json:"tau_s,omitempty"`

	Verdict  Verdict   `json:"verdict"`
	Findings []Finding `json:"findings"`
	Override string    `json:"override,omitempty"` // why it is used although not accepted
}

// About is what a calibration is of.
type About struct {
	Electrode, Meter, Operator string
	At                         time.Time
}

// Judge draws the line through the points and judges it. check may be nil. The
// error is ErrPoints or ErrValue, when there is no line.
func Judge(about About, points []Point, check *Point) (Calibration, error) {
	c := Calibration{Format: Format, Electrode: about.Electrode, Meter: about.Meter, Operator: about.Operator,
		At: about.At, Points: points, Check: check, Sends: SendsMV}
	for _, p := range points {
		if p.MV == nil {
			c.Sends = SendsPH
		}
	}
	if check != nil && c.Sends == SendsMV && check.MV == nil {
		return c, fmt.Errorf("calib: check standard %s: %w", check.Standard, ErrValue)
	}
	f, err := FitPoints(points)
	if err != nil {
		return c, err
	}
	c.TempC, c.SlopePct, c.OffsetMV, c.ResidualPH = float64(f.Temp), f.SlopePercent(), f.Offset, f.Residual
	c.TauS = meanTau(points)
	c.Findings = c.judge(f)
	c.Verdict = verdict(c.Findings)
	return c, nil
}

// meanTau is the geometric mean of the time constants that are known, s.
func meanTau(points []Point) float64 {
	sum, n := 0.0, 0.0
	for _, p := range points {
		if p.TauS > 0 {
			sum, n = sum+math.Log(p.TauS), n+1
		}
	}
	if n == 0 {
		return 0
	}
	return math.Exp(sum / n)
}

func (c Calibration) judge(f Fit) []Finding {
	var out []Finding
	if c.Sends == SendsMV {
		out = append(out, judgeSlope(f), judgeOffset(f))
		if len(c.Points) > 2 {
			out = append(out, judgeResidual(f))
		}
		for _, x := range judgeShown(c.Points) {
			x.Level, x.Basis = Note, basisInside // it calibrates itself beside the mV
			out = append(out, x)
		}
	} else {
		out = append(out, Finding{Code: CodeOwnInternal, Level: Note, Basis: basisInside,
			Text: "the meter sends only pH and calibrates itself: this is a check of it, and changes no reading"})
		out = append(out, judgeShown(c.Points)...)
	}
	for _, find := range []func() (Finding, bool){
		func() (Finding, bool) { return findAlike(c.Points) },
		func() (Finding, bool) { return findReversed(c.Points, f) },
		func() (Finding, bool) { return findSwapped(c.Points, f) },
		func() (Finding, bool) { return findStale(c.Points) },
	} {
		if x, ok := find(); ok {
			out = append(out, x)
		}
	}
	if !hasCause(out) {
		if x, ok := findOther(c.Points, f); ok {
			out = append(out, x)
		}
	}
	out = append(out, judgeSpan(c.Points)...)
	out = append(out, judgeTemps(c.Points)...)
	out = append(out, judgeReadings(c.Points)...)
	if c.Check != nil {
		out = append(out, judgeCheck(*c.Check, c.read(f, *c.Check), c.Points)...)
	}
	return out
}

// hasCause reports whether a fault already explains the readings.
func hasCause(list []Finding) bool {
	for _, f := range list {
		switch f.Code {
		case CodeAlike, CodeReversed, CodeSwapped, CodeStale:
			return true
		}
	}
	return false
}

// read is the pH that a point comes to.
func (c Calibration) read(f Fit, p Point) float64 {
	if c.Sends == SendsPH && p.Shown != nil {
		return *p.Shown
	}
	return f.PH(p.potential(), chem.Celsius(p.TempC))
}

// Checks reports whether the calibration only checks the meter's own.
func (c Calibration) Checks() bool { return c.Sends == SendsPH }

// Usable reports whether readings may be taken on it: accepted, with or
// without a remark, or overridden with a reason.
func (c Calibration) Usable() bool { return c.Verdict != Refused || c.Override != "" }

// Apply is the pH of a potential in mV at a temperature. It is NaN for a
// calibration that only checks, or without a slope.
func (c Calibration) Apply(mv float64, t chem.Celsius) float64 {
	if c.Checks() || !(c.SlopePct > 0) {
		return math.NaN()
	}
	return Fit{Slope: c.SlopePct / 100, Offset: c.OffsetMV}.PH(mv, t)
}

// Range is the pH between which its standards lie.
func (c Calibration) Range() (low, high float64) {
	list := ordered(c.Points)
	if len(list) == 0 {
		return math.NaN(), math.NaN()
	}
	return list[0].PH, list[len(list)-1].PH
}

// Summary is the calibration in a line.
func (c Calibration) Summary() string {
	if c.Checks() {
		worst := 0.0
		for _, p := range c.Points {
			if p.Shown != nil && math.Abs(*p.Shown-p.PH) > math.Abs(worst) {
				worst = *p.Shown - p.PH
			}
		}
		return fmt.Sprintf("check of the meter at %.1f °C: off by %+.3f at most, %s", c.TempC, worst, c.Verdict.Words())
	}
	return fmt.Sprintf("slope %.1f %%, offset %+.1f mV at %.1f °C: %s", c.SlopePct, tenth(c.OffsetMV), c.TempC, c.Verdict.Words())
}
