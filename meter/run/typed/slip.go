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
)

// VagueSD is the spread, pH, from which on nobody knows where a reading should be.
const VagueSD = 0.3

// Value is a pH as it was typed.
type Value struct {
	PH       float64
	Decimals int // digits behind the point
}

// Slip says what is odd about a typed value where at ± sd should be, nil when nothing is.
// Of an sd above VagueSD only what is no pH is odd.
func Slip(v Value, at, sd float64) *intent.Slip {
	ph := v.PH
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
	case meant == "" || sd > VagueSD || off < math.Max(slipFar, slipSDs*sd) || least > near || slipTimes*least > off:
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
