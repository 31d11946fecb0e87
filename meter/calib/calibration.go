package calib

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/standards"
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

	TempC      float64 `json:"temp_c"`                      // mean of the points
	SlopePct   float64 `json:"slope_pct"`                   // of the Nernst slope; of the meter's own line when it sends only pH
	OffsetMV   float64 `json:"offset_mv"`                   // at pH 7
	SlopeSD    float64 `json:"slope_sd_pct,omitempty"`      // standard deviation of SlopePct, with that of the standards
	OffsetSD   float64 `json:"offset_sd_mv,omitempty"`      // of OffsetMV
	Corr       float64 `json:"slope_offset_corr,omitempty"` // correlation of the two
	ResidualPH float64 `json:"residual_ph"`                 // greatest distance of a point from the line
	TauS       float64 `json:"tau_s,omitempty"`

	Verdict  Verdict   `json:"verdict"`
	Findings []Finding `json:"findings"`
	Override string    `json:"override,omitempty"` // why it is used although not accepted
}

// About is what a calibration is of.
type About struct {
	Electrode, Meter, Operator string
	At                         time.Time
	Earlier                    []Calibration // of the same electrode, to judge it by
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
	c.SlopeSD, c.OffsetSD, c.Corr = 100*f.SlopeSD, f.OffsetSD, f.Corr
	c.TauS = meanTau(points)
	c.Findings = c.judge(f, about.Earlier)
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

func (c Calibration) judge(f Fit, earlier []Calibration) []Finding {
	var out []Finding
	why := c.explain(f, earlier)
	named := hasCause(why)
	follows := byDisplay
	if c.Sends == SendsMV {
		follows = byMV
	}
	if named {
		out, follows = append(out, why...), ""
	}
	if c.Sends == SendsMV {
		out = append(out, judgeSlope(f, !named), judgeOffset(f, !named))
		if len(c.Points) > 2 {
			out = append(out, judgeResidual(f))
		}
		for _, x := range judgeShown(c.Points, follows) {
			x.Level, x.Basis = Note, basisInside // it calibrates itself beside the mV
			out = append(out, x)
		}
	} else {
		text := "the meter sends only pH and calibrates itself: this is a check of it, and changes no reading"
		if onlyTyped(c.Points) {
			text = "pH was typed and no mV: this is a check of the meter's own calibration, and changes no reading"
		}
		out = append(out, Finding{Code: CodeOwnInternal, Level: Note, Basis: basisInside, Text: text})
		out = append(out, judgeShown(c.Points, follows)...)
	}
	if !named {
		out = append(out, why...)
	}
	out = append(out, judgeSpan(c.Points)...)
	out = append(out, judgeTemps(c.Points)...)
	out = append(out, judgeReadings(c.Points)...)
	if c.Check != nil {
		sd := math.Hypot(c.Check.SD, c.Check.bottleSD())
		if !c.Checks() {
			sd = besideLine(c.Points, *c.Check)
		}
		out = append(out, judgeCheck(*c.Check, c.read(f, *c.Check), sd, c.Points)...)
	}
	return out
}

// onlyTyped reports whether what stands without mV was read off by a person: of what the
// meter may send, that says nothing.
func onlyTyped(points []Point) bool {
	return !slices.ContainsFunc(points, func(p Point) bool { return p.MV == nil && !p.Typed })
}

// explain says what may lie behind the readings, and how the electrode compares
// with what it was before.
func (c Calibration) explain(f Fit, earlier []Calibration) []Finding {
	if x, ok := findAlike(c.Points); ok {
		return []Finding{x}
	}
	all := c.Points
	if c.Check != nil {
		all = append(slices.Clip(all), *c.Check)
	}
	if c.Checks() {
		return cause(all, Itself)
	}
	accounts, n := Remembered(earlier, c.At)
	list := cause(all, accounts)
	steps := judgeStep(f, earlier, c.At)
	if len(list) == 0 && len(all) == 2 && n == 0 {
		list = append(list, c.blindness(f))
	}
	if len(list) == 0 && len(steps) == 0 {
		steps = judgeAgeing(c, earlier)
	}
	return append(list, steps...)
}

// blindness says what two standards alone do not show.
func (c Calibration) blindness(f Fit) Finding {
	out := Finding{Code: CodeTwo, Level: Note, Basis: basisTwo,
		Text: "two standards alone do not reveal that one of them is off by 0.1 pH"}
	if p := f.SlopePercent(); p < slopePass || p > slopeUsual || math.Abs(f.Offset) > offsetPass {
		out.Text = "two standards alone cannot tell a worn electrode from a wrong standard"
	}
	if s, ok := c.third(); ok {
		out.Text += fmt.Sprintf(": %s as a third, or as a check, would", s)
	}
	return out
}

// third is the standard of the same set that would tell most beside those that
// were read: the furthest from them. There may be none.
func (c Calibration) third() (standards.Standard, bool) {
	if len(c.Points) == 0 {
		return standards.Standard{}, false
	}
	var best standards.Standard
	most := 2 * nearNominal
	for _, s := range standards.Chain(c.Points[0].Set, 7) {
		least := math.Inf(1)
		for _, p := range c.Points {
			least = math.Min(least, math.Abs(p.PH-s.Nominal))
		}
		if c.Check != nil {
			least = math.Min(least, math.Abs(c.Check.PH-s.Nominal))
		}
		if least > most {
			most, best = least, s
		}
	}
	return best, best.Name != ""
}

// hasCause reports whether the readings were explained by a mistake, so that the
// line says nothing of the electrode.
func hasCause(list []Finding) bool {
	return slices.ContainsFunc(list, func(f Finding) bool { return basisOf[f.Code] != "" })
}

// read is the pH that a point comes to.
func (c Calibration) read(f Fit, p Point) float64 {
	if c.Sends == SendsPH && p.Shown != nil {
		return *p.Shown
	}
	return f.PH(p.Potential(), chem.Celsius(p.TempC))
}

// Checks reports whether the calibration only checks the meter's own.
func (c Calibration) Checks() bool { return c.Sends == SendsPH }

// Usable reports whether readings may be taken on it: accepted, with or
// without a remark, or overridden with a reason, and at all a line by which a
// potential becomes a pH.
func (c Calibration) Usable() bool {
	return (c.Verdict != Refused || c.Override != "") && (c.Checks() || c.Possible())
}

// Between these, an electrode may be poor and its line is still one; outside of
// them there is none, whatever the reason for wanting it (choice).
const (
	leastSlope, mostSlope = 60.0, 125.0 // %
	mostOffset            = 120.0       // mV
)

// Possible reports whether the line can be used at all.
func (c Calibration) Possible() bool {
	return c.SlopePct >= leastSlope && c.SlopePct <= mostSlope && math.Abs(c.OffsetMV) <= mostOffset
}

// Apply is the pH of a potential in mV at a temperature. It is NaN for a
// calibration that only checks, or without a slope.
func (c Calibration) Apply(mv float64, t chem.Celsius) float64 {
	if c.Checks() || !(c.SlopePct > 0) {
		return math.NaN()
	}
	return c.fit().PH(mv, t)
}

// fit is the line, with the spreads that were kept with it. Of a calibration
// from before they were kept they are made again.
func (c Calibration) fit() Fit {
	f := Fit{Slope: c.SlopePct / 100, Offset: c.OffsetMV, SlopeSD: c.SlopeSD / 100, OffsetSD: c.OffsetSD, Corr: c.Corr, Temp: chem.Celsius(c.TempC)}
	if again, err := FitPoints(c.Points); err == nil && c.SlopeSD == 0 {
		f.SlopeSD, f.OffsetSD, f.Corr = again.SlopeSD, again.OffsetSD, again.Corr
	}
	return f
}

// SpreadAt is the standard deviation of a pH as far as it is that of the
// calibration: of the standards, of the readings in them, of their temperature.
// Of a meter that calibrates itself it is that of the check, and what the check
// found it off by there. It is infinite where there is no line.
func (c Calibration) SpreadAt(ph float64, t chem.Celsius) float64 {
	f := c.fit()
	sd := f.SpreadAt(ph, t)
	if !c.Checks() {
		return sd
	}
	// What it shows is PH by an ideal line; what is there is PH by its own.
	return math.Hypot(sd, f.PH(nernst.MV(ph, t), t)-ph)
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
	f := c.fit()
	return fmt.Sprintf("slope %.1f ± %s %%, offset %+.1f ± %s mV at %.1f °C: %s", c.SlopePct, ofTenths(100*f.SlopeSD), Tenth(c.OffsetMV), ofTenths(f.OffsetSD), c.TempC, c.Verdict.Words())
}

// Encode is a calibration as one line of JSON, its line feed included.
func (c Calibration) Encode() ([]byte, error) {
	b, err := json.Marshal(c)
	if err != nil {
		return nil, fmt.Errorf("calib: %w", err)
	}
	return append(b, '\n'), nil
}

// Alike is a name without what people write in one way today and in another one
// tomorrow.
func Alike(name string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return strings.ContainsRune(" -_.#", r) }), "")
}

// SameName reports whether two names are of one electrode.
func SameName(a, b string) bool { return a == b || a != "" && b != "" && Alike(a) == Alike(b) }
