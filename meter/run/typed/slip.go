package typed

import (
	"fmt"
	"math"
	"strconv"

	"example.org/halfdrop/meter/run/intent"
)

// Figures of judgement about slips, a choice of this project.
const (
	lowestRead  = 0.0 // pH that a display shows
	highestRead = 14.0
	slipFar     = 0.15 // pH from where the reading should be, at the least
	slipSDs     = 3.0  // and in standard deviations
	slipNear    = 0.06 // pH that what was meant may be off
	slipNearSDs = 1.5
	slipTimes   = 4.0 // how much nearer it has to be
	// A number like half a drop, below this, which is no pH so far from where it should be.
	amountMost = 1.0
	amountFar  = 2.0
)

// VagueSD is the spread, pH, from which on nobody knows where a reading should be.
const VagueSD = 0.3

// Value is a pH as it was typed.
type Value struct {
	PH       float64
	Decimals int  // digits behind the point
	Stands   bool // it was said to stand
}

// Due is where a reading should be.
type Due struct {
	PH, SD   float64 // pH, give or take
	From, To float64 // pH between which it is on its way; NaN when it is not
}

// passes reports whether a pH lies on the way that the reading goes.
func (d Due) passes(ph float64) bool {
	return math.Min(d.From, d.To) <= ph && ph <= math.Max(d.From, d.To)
}

// Slip says what is odd about a typed value, nil when nothing is. Of an SD above VagueSD
// only what is no pH is odd; nor is a value odd that was read on its way, and lies there.
func Slip(v Value, due Due) *intent.Slip {
	ph, at, sd := v.PH, due.PH, due.SD
	typed := strconv.FormatFloat(ph, 'f', v.Decimals, 64)
	within := ph >= lowestRead && ph <= highestRead
	meant, least := "", math.Inf(1)
	for _, c := range slips(typed) {
		x, err := strconv.ParseFloat(c, 64)
		if off := math.Abs(x - at); err == nil && x >= lowestRead && x <= highestRead && off < least {
			meant, least = c, off
		}
	}
	near := math.Max(slipNear, slipNearSDs*sd)
	switch off := math.Abs(ph - at); {
	case !within && meant == "":
		return &intent.Slip{Typed: typed, Never: true, Why: "is not a pH: it must be 0 to 14"}
	case !within:
		return &intent.Slip{Typed: typed, Meant: meant, Never: true, Why: "is not a pH"}
	case v.Decimals <= 1 && ph < amountMost && off > amountFar:
		return &intent.Slip{Typed: typed, Why: fmt.Sprintf("is far from %.2f, where it should be; drops are typed once an addition is ordered", at)}
	case !v.Stands && due.passes(ph), meant == "" || sd > VagueSD || off < math.Max(slipFar, slipSDs*sd) || least > near || slipTimes*least > off:
		return nil
	}
	return &intent.Slip{Typed: typed, Meant: meant, Why: fmt.Sprintf("is far from %.2f, where it should be", at)}
}

// slips are what fingers make of a number that is typed: two digits change their
// places, the point is somewhere else.
func slips(typed string) (out []string) {
	point := len(typed)
	digits := []byte{}
	for i := range len(typed) {
		if typed[i] == '.' {
			point = i
			continue
		}
		digits = append(digits, typed[i])
	}
	with := func(d []byte, at int) string {
		for at > 1 && d[0] == '0' {
			d, at = d[1:], at-1
		}
		return string(d[:at]) + "." + string(d[at:])
	}
	for i := 1; i < len(digits); i++ {
		d := append([]byte(nil), digits...)
		d[i-1], d[i] = d[i], d[i-1]
		if point <= len(d) && d[i-1] != d[i] {
			out = append(out, with(d, point))
		}
	}
	for at := 1; at < len(digits); at++ {
		if at != point {
			out = append(out, with(digits, at))
		}
	}
	return out
}
