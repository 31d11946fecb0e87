package calib

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"example.org/halfdrop/meter/phrase"
)

// Trend is how an electrode changes: straight lines through its calibrations.
type Trend struct {
	N        int           // calibrations used
	Span     time.Duration // from the first to the last
	Slope    Change        // %
	Offset   Change        // mV
	LnTau    Change        // ln s
	First    Calibration
	Last     Calibration
	FirstTau float64 // s
	LastTau  float64 // s
}

// Change is a rate with its standard error, per 30 days.
type Change struct{ PerMonth, SE float64 }

// Clear reports whether the change stands out of the scatter: more than twice
// its standard error.
func (c Change) Clear() bool { return c.SE > 0 && math.Abs(c.PerMonth) > 2*c.SE }

// ErrFew says that there is too little to speak of a trend.
var ErrFew = errors.New("a trend needs three or more calibrations over two weeks")

// month is the unit of time of a trend.
const month = 30 * 24 * time.Hour

// TrendOf draws the lines. Checks of a meter do not count, nor do calibrations
// that were not accepted for a mistake such as exchanged standards.
func TrendOf(list []Calibration) (Trend, error) {
	used := telling(list)
	t := Trend{N: len(used)}
	if len(used) < 3 {
		return t, ErrFew
	}
	t.First, t.Last = used[0], used[len(used)-1]
	if t.Span = t.Last.At.Sub(t.First.At); t.Span < 14*24*time.Hour {
		return t, ErrFew
	}
	t.Slope = t.change(used, func(c Calibration) float64 { return c.SlopePct })
	t.Offset = t.change(used, func(c Calibration) float64 { return c.OffsetMV })
	if timed := phrase.Only(used, func(c Calibration) bool { return c.TauS > 0 }); len(timed) >= 3 {
		t.LnTau = t.change(timed, func(c Calibration) float64 { return math.Log(c.TauS) })
		t.FirstTau, t.LastTau = timed[0].TauS, timed[len(timed)-1].TauS
	}
	return t, nil
}

// change is the least-squares line of a figure against time.
func (t Trend) change(list []Calibration, of func(Calibration) float64) Change {
	n := float64(len(list))
	mx, my := 0.0, 0.0
	x := make([]float64, len(list))
	for i, c := range list {
		x[i] = float64(c.At.Sub(t.First.At)) / float64(month)
		mx, my = mx+x[i]/n, my+of(c)/n
	}
	sxx, sxy, syy := 0.0, 0.0, 0.0
	for i, c := range list {
		dx, dy := x[i]-mx, of(c)-my
		sxx, sxy, syy = sxx+dx*dx, sxy+dx*dy, syy+dy*dy
	}
	if sxx == 0 {
		return Change{}
	}
	b := sxy / sxx
	return Change{PerMonth: b, SE: math.Sqrt(max(syy-b*sxy, 1e-12) / (n - 2) / sxx)}
}

// Words are the trend in sentences, one each for slope, offset and time constant.
func (t Trend) Words() []string {
	out := []string{t.slopeWords()}
	out = append(out, fmt.Sprintf("offset %+.1f → %+.1f mV%s", Tenth(t.First.OffsetMV), Tenth(t.Last.OffsetMV), pace(t.Offset, "%+.1f mV a month")))
	if t.FirstTau > 0 {
		s := fmt.Sprintf("time constant %.1f → %.1f s", t.FirstTau, t.LastTau)
		if t.LnTau.Clear() {
			s += fmt.Sprintf(", %+.0f %% a month", 100*(math.Exp(t.LnTau.PerMonth)-1))
		} else {
			s += ", no clear change"
		}
		if t.LastTau > slowTau {
			s += "; slow: clean and soak the electrode"
		}
		out = append(out, s)
	}
	return out
}

// slopeWords are the trend of the slope in a sentence.
func (t Trend) slopeWords() string {
	span := fmt.Sprintf("over %.0f days, %d calibrations", t.Span.Hours()/24, t.N)
	s := fmt.Sprintf("slope %.1f → %.1f %% %s%s", t.First.SlopePct, t.Last.SlopePct, span, pace(t.Slope, "%+.1f % a month"))
	if t.Slope.Clear() && t.Slope.PerMonth < 0 && t.Last.SlopePct > slopePass {
		left := (t.Last.SlopePct - slopePass) / -t.Slope.PerMonth
		switch {
		case left <= 1:
			s += "; at this pace 95 % in less than a month"
		case left < 24:
			s += fmt.Sprintf("; at this pace 95 %% in about %.0f months", math.Ceil(left))
		}
	}
	return s
}

func pace(c Change, format string) string {
	if !c.Clear() {
		return ", no clear change"
	}
	return ", " + fmt.Sprintf(strings.ReplaceAll(format, "% a", "%% a"), c.PerMonth)
}
