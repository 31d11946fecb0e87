package foreign

import (
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/fit"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/pool"
)

// Passed is what a log says of an aim that it knows nothing of: which addition took the
// reading beyond it.
type Passed struct {
	Aim       float64 `json:"aim"`
	Tolerance float64 `json:"tolerance"`
	Over      bool    `json:"overshot"`
	Addition  int     `json:"addition,omitempty"` // the row of additions it is, 1 for the first; 0 without volumes
	Line      int     `json:"line,omitempty"`     // of the file, where it is first noted
	T         float64 `json:"t,omitempty"`        // s since the first row
	FromML    float64 `json:"from_ml,omitempty"`  // given before it
	ToML      float64 `json:"to_ml,omitempty"`    // and with it
	Before    float64 `json:"ph_before"`          // pH where it was left
	After     float64 `json:"ph_after"`           // and what came of it; without an overshoot the last pH
	Past      float64 `json:"past,omitempty"`     // pH beyond the aim
	AimML     float64 `json:"aim_ml,omitempty"`   // volume at which the fitted curve has the aim; 0 when that is not known
	Words     string  `json:"words"`
}

// standstill is the rows of one volume, and what was read in the end.
type standstill struct {
	ml, t, ph float64
	line      int
}

// lastOf is how many of the last readings at one volume are taken together: their median is
// what it came to, for a single one may be a spike (a choice of this project).
const lastOf = 5

// standstills are the stretches of one volume in their order; without volumes every reading
// with the four around it.
func (l *Log) standstills() (out []standstill) {
	var group []float64
	read := func() {
		if len(out) > 0 && len(group) > 0 {
			out[len(out)-1].ph = pool.Median(group[max(0, len(group)-lastOf):])
		}
		group = group[:0]
	}
	if !l.HasVolume() {
		for i, r := range l.Rows {
			for k := max(0, i-lastOf/2); k <= min(len(l.Rows)-1, i+lastOf/2); k++ {
				group = append(group, l.Rows[k].PH)
			}
			out = append(out, standstill{ml: math.NaN(), t: r.T, line: r.Line})
			read()
		}
		return out
	}
	for _, r := range l.Rows {
		if n := len(out); n == 0 || !math.IsNaN(r.ML) && r.ML != out[n-1].ml {
			read()
			ml := r.ML
			if math.IsNaN(ml) {
				ml = 0 // before the first volume that is noted
			}
			out = append(out, standstill{ml: ml, t: r.T, line: r.Line})
		}
		group = append(group, r.PH)
	}
	read()
	return out
}

// Passes finds the addition that took a log beyond an aim and its tolerance, seen from where
// the log began. A display that goes beyond and comes back at the same volume is not one. f
// is the fitted curve, nil for none.
func (l *Log) Passes(wanted chem.PH, tolerance float64, f *fit.Result) *Passed {
	aim := float64(wanted)
	all := l.standstills()
	p := &Passed{Aim: aim, Tolerance: tolerance}
	first, last := all[0], all[len(all)-1]
	p.Before, p.After = first.ph, last.ph
	dir := math.Copysign(1, aim-first.ph)
	if math.Abs(aim-first.ph) <= tolerance {
		p.Words = fmt.Sprintf("The log began within %s of %.2f, at %.2f: from there every way is past it.", phrase.Number(tolerance), aim, first.ph)
		return p
	}
	at := slices.IndexFunc(all, func(s standstill) bool { return dir*(s.ph-aim) > tolerance })
	if at < 0 {
		p.Words = fmt.Sprintf("No overshoot was found: nothing was left beyond %.2f ± %s; the last reading is %.2f.", aim, phrase.Number(tolerance), last.ph)
		return p
	}
	was, now := all[at-1], all[at]
	p.Over, p.Line, p.Before, p.After, p.Past = true, now.line, was.ph, now.ph, dir*(now.ph-aim)
	when := ""
	if !math.IsNaN(now.t) {
		p.T, when = now.t, "At "+phrase.Clock(now.t)+", line "
	} else {
		when = "In line "
	}
	when += fmt.Sprint(now.line)
	if math.IsNaN(now.ml) {
		most := now.ph
		for _, s := range all[at:] {
			if dir*(s.ph-most) > 0 {
				most = s.ph
			}
		}
		p.After, p.Past = most, dir*(most-aim)
		p.Words = fmt.Sprintf("OVERSHOOT. %s, the reading went beyond %.2f ± %s, and as far as %.2f. Which addition it was cannot be said: the log has no volumes.", when, aim, phrase.Number(tolerance), most)
		return p
	}
	p.Addition, p.FromML, p.ToML = at, was.ml, now.ml
	p.Words = fmt.Sprintf("OVERSHOOT. %s, addition %d, from %.2f to %.2f mL, took the pH from %.2f to %.2f, %.2f past the aim of %.2f.", when, at, was.ml, now.ml, was.ph, now.ph, p.Past, aim)
	if ml, ok := reaches(f, aim, was.ml, now.ml); ok {
		p.AimML = ml
		p.Words += fmt.Sprintf(" By the fitted curve the aim is at %.2f mL: %.2f mL would have been enough.", ml, math.Max(0, ml-was.ml))
	}
	if back := slices.IndexFunc(all[at:], func(s standstill) bool { return math.Abs(s.ph-aim) <= tolerance }); back > 0 {
		p.Words += fmt.Sprintf(" Line %d is within the tolerance again.", all[at+back].line)
	}
	return p
}

// reaches is the volume between two at which a fitted curve has a pH; false where it has not,
// or leaves more than its residual open.
func reaches(f *fit.Result, ph, from, to float64) (float64, bool) {
	if f == nil || !(to > from) || f.Left > 0.1 {
		return 0, false
	}
	side := func(ml float64) float64 { return f.PH(ml) - ph }
	if lo := side(from); math.IsNaN(lo) || lo*side(to) > 0 {
		return 0, false
	}
	up := side(to) > 0
	for range 60 {
		if mid := (from + to) / 2; (side(mid) > 0) == up {
			to = mid
		} else {
			from = mid
		}
	}
	return (from + to) / 2, true
}
