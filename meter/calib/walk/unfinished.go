package walk

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/course"
	"example.org/halfdrop/meter/phrase"
)

// Unfinished is a calibration that was broken off after its first standard: what
// was accepted, with the approach of each dip, because what it taught of the
// electrode counts in the dips that follow.
type Unfinished struct {
	Format    int       `json:"format"`
	Electrode string    `json:"electrode,omitempty"`
	At        time.Time `json:"at"` // of the last standard accepted
	Typed     bool      `json:"typed,omitempty"`
	Dips      []Dipped  `json:"dips"`
}

// Dipped is a standard that was accepted.
type Dipped struct {
	Point  calib.Point  `json:"point"`
	Check  bool         `json:"check,omitempty"`
	SentMV bool         `json:"sent_mv,omitempty"`
	Course [][3]float64 `json:"course,omitempty"` // s from the start of the dip, mV, readings; empty when it was not fitted
	GapS   float64      `json:"gap_s,omitempty"`  // from the last reading in the standard before
	StepMV float64      `json:"step_mv,omitempty"`
}

// GoOnWithin is how long a calibration that was broken off can be gone on with:
// portions that were poured stand open, and an electrode wanders by a tenth of a
// millivolt in an hour (choice).
const GoOnWithin = time.Hour

// Errors of going on with a calibration.
var (
	ErrUnlike  = errors.New("it does not fit the present request")
	ErrDamaged = errors.New("an unfinished calibration that cannot be read")
	ErrSends   = errors.New("the meter does not send what it sent in the standards before")
)

// Fresh reports whether it can still be gone on with.
func (u Unfinished) Fresh(now time.Time) bool {
	return now.Sub(u.At).Abs() <= GoOnWithin // a clock may have been set back a little
}

// Age is how long ago its last standard was accepted, in words: "12 min".
func (u Unfinished) Age(now time.Time) string {
	if d := now.Sub(u.At); d >= time.Minute {
		return calib.Ago(d)
	}
	return "less than a minute"
}

// Encode is it as one line of JSON, its line feed included.
func (u Unfinished) Encode() ([]byte, error) {
	b, err := json.Marshal(u)
	if err != nil {
		return nil, fmt.Errorf("calib: %w", err)
	}
	return append(b, '\n'), nil
}

// ReadUnfinished reads what Encode wrote. The error is ErrDamaged.
func ReadUnfinished(line []byte) (Unfinished, error) {
	var u Unfinished
	if err := json.Unmarshal(line, &u); err != nil {
		return u, fmt.Errorf("calib: %w: %w", ErrDamaged, err)
	}
	if u.Format != calib.Format || u.At.IsZero() || len(u.Dips) == 0 || len(u.Dips) > course.MaxDips {
		return u, fmt.Errorf("calib: %w: format %d with %d standards", ErrDamaged, u.Format, len(u.Dips))
	}
	for i, d := range u.Dips {
		if _, err := calib.Exact(d.Point); err != nil {
			return u, fmt.Errorf("calib: %w: %w", ErrDamaged, err)
		}
		if math.IsNaN(d.Point.Potential()) || d.SentMV != (d.Point.MV != nil) || d.GapS < 0 || d.StepMV < 0 || !courseHolds(d.Course) {
			return u, fmt.Errorf("calib: %w: standard %d, %s", ErrDamaged, i+1, d.Point.Label())
		}
	}
	return u, nil
}

// courseHolds reports whether a course can be fitted, or there is none.
func courseHolds(list [][3]float64) bool {
	if len(list) == 0 {
		return true
	}
	for i, b := range list {
		if b[2] <= 0 || i > 0 && b[0] <= list[i-1][0] {
			return false
		}
	}
	return len(list) >= course.LeastIn
}

// Unfinished is what has been accepted so far, to be gone on with later; false when
// that is nothing.
func (p *Procedure) Unfinished(electrode string) (u Unfinished, ok bool) {
	if len(p.taken) == 0 {
		return u, false
	}
	u = Unfinished{Format: calib.Format, Electrode: electrode, At: p.taken[len(p.taken)-1].point.At}
	for _, d := range p.taken {
		u.Typed = u.Typed || d.point.Typed
		k := Dipped{Point: d.point, Check: d.choice.Check, SentMV: d.sent}
		if d.at >= 0 {
			k.GapS, k.StepMV = phrase.Decimals(d.course.Gap, 2), d.course.Step
			for _, b := range d.course.Bins {
				k.Course = append(k.Course, [3]float64{phrase.Decimals(b.T, 3), phrase.Decimals(b.Y, 4), b.N})
			}
		}
		u.Dips = append(u.Dips, k)
	}
	return u, true
}

// Fits reports whether a procedure that has accepted nothing yet can go on with it: all
// that was accepted is wanted. The error is ErrUnlike.
func (p *Procedure) Fits(u Unfinished) error {
	for _, d := range u.Dips {
		if p.find(d) < 0 {
			return fmt.Errorf("calib: %w: %s was accepted, and is not among the standards", ErrUnlike, d.Point.Label())
		}
	}
	return nil
}

// find is the place of a standard among the choices, -1 for none.
func (p *Procedure) find(d Dipped) int {
	return slices.IndexFunc(p.choices, func(c Choice) bool {
		return c.Standard.Name == d.Point.Standard && c.Standard.Set == d.Point.Set && c.Check == d.Check
	})
}

// GoOn takes up, at time t in s, what was accepted before; what is left to read
// keeps its order. The procedure must have accepted nothing yet. The error is ErrUnlike.
func (p *Procedure) GoOn(u Unfinished, t float64) error {
	if err := p.Fits(u); err != nil {
		return err
	}
	rest := slices.Clone(p.choices)
	var first []Choice
	left := 0
	for _, k := range u.Dips {
		i := p.find(k)
		c := p.choices[i]
		c.Lot, c.Expiry = k.Point.Lot, k.Point.Expiry
		first = append(first, c)
		rest = slices.DeleteFunc(rest, func(o Choice) bool { return o.Standard.Same(c.Standard) && o.Check == c.Check })
		d := dip{choice: c, point: k.Point, at: -1, until: t - p.wall(t).Sub(k.Point.At).Seconds(), sent: k.SentMV}
		if len(k.Course) > 0 {
			d.at, d.course = left, course.Dip{Gap: k.GapS, Step: k.StepMV}
			left++
			for _, b := range k.Course {
				d.course.Bins = append(d.course.Bins, course.Bin{T: b[0], Y: b[1], N: b[2]})
			}
		}
		p.taken = append(p.taken, d)
	}
	p.choices, p.i, p.resumed = append(first, rest...), len(first), true
	if p.i == len(p.choices) {
		p.stage = Done
	}
	return nil
}

// unlike is the error of a meter that sends something else than it did in the
// standards that were accepted before: no one line can be made of both.
func (p *Procedure) unlike(mv bool) error {
	if len(p.taken) == 0 || mv == p.taken[0].sent {
		return nil
	}
	was, now := "pH", "mV"
	if p.taken[0].sent {
		was, now = "mV", "only pH"
	}
	return fmt.Errorf("calib: %w: %s then, %s now", ErrSends, was, now)
}
