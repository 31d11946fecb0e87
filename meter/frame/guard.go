package frame

import (
	"fmt"
	"math"
	"time"

	"example.org/halfdrop/meter"
)

// Errors of a Guard; both are meter.ErrNotReading.
var (
	ErrForm = fmt.Errorf("%w: in another form than the lines before", meter.ErrNotReading)
	ErrJump = fmt.Errorf("%w: an impossible jump", meter.ErrNotReading)
)

// What a Guard allows (choice). A real jump, such as an electrode put from one
// standard into another, costs one line; a meter that changes its form, two.
const (
	formRuns    = 3                // lines in a new form before it is believed
	stepPH      = 1.0              // pH from one line to the next
	stepMV      = 60.0             // mV, about one pH
	stepTemp    = 5.0              // °C
	stepHorizon = 30 * time.Second // a reading older than this says nothing about a jump
)

// Guard compares the lines of one meter with each other and refuses those that
// a fault of the line explains better than the meter: another shape or number
// of decimals than before, or a jump that the next line does not confirm. The
// zero value is ready; the first line is believed. It is not safe for
// concurrent use.
type Guard struct {
	form, rival Form
	runs        int // lines in the rival form in a row
	last, leap  meter.Reading
}

// Check judges the next reading; At must be set. The error is ErrForm or
// ErrJump. A reading without a number passes and leaves no trace.
func (g *Guard) Check(r Result) error {
	if !r.Reading.Usable() {
		return nil
	}
	if err := g.checkForm(r.Form); err != nil {
		return err
	}
	return g.checkJump(r.Reading)
}

func (g *Guard) checkForm(f Form) error {
	if f.Loose {
		f.Decimals, f.TempDecimals = 0, min(f.TempDecimals, 0)
	}
	switch {
	case g.form == Form{} || g.form == f:
		g.form, g.runs = f, 0
		return nil
	case g.rival == f:
		g.runs++
	default:
		g.rival, g.runs = f, 1
	}
	if g.runs < formRuns {
		return ErrForm
	}
	g.form, g.runs, g.last, g.leap = f, 0, meter.Reading{}, meter.Reading{}
	return nil
}

func (g *Guard) checkJump(r meter.Reading) error {
	if !near(g.last, r) && !near(g.leap, r) {
		g.leap = r
		return fmt.Errorf("%w: %g after %g", ErrJump, r.Value, g.last.Value)
	}
	g.last, g.leap = r, r
	return nil
}

// near reports whether b can follow a. Anything can follow nothing, or a
// reading of long ago.
func near(a, b meter.Reading) bool {
	if a.At.IsZero() || b.At.Sub(a.At) > stepHorizon {
		return true
	}
	limit := stepPH
	if b.Quantity == meter.Millivolt {
		limit = stepMV
	}
	if a.HasTemp && b.HasTemp && math.Abs(a.TempC-b.TempC) > stepTemp {
		return false
	}
	return math.Abs(a.Value-b.Value) <= limit
}
