package guard

import (
	"fmt"
	"math"
	"time"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/frame"
)

// Errors of a Guard; both are meter.ErrNotReading.
var (
	ErrForm = fmt.Errorf("%w: in another form than the lines before", meter.ErrNotReading)
	ErrJump = fmt.Errorf("%w: a jump, not confirmed yet", meter.ErrNotReading)
)

// What a Guard allows (choice). The first line of a real move waits for the
// second, which confirms it, and a meter that changes its form loses two. A meter that sends
// so seldom that a line is dear gets the wide limits only.
const (
	formRuns    = 3                       // lines in a new form before it is believed
	stepPH      = 1.0                     // pH from one line to the next, at the widest: in a second, and less
	stepMV      = 60.0                    // mV, about one pH
	stepMost    = 4.0                     // times as wide at the most, where the lines are seconds apart
	stepTemp    = 0.95                    // °C
	stepHorizon = 30 * time.Second        // a reading older than this says nothing about a jump
	stepOften   = 1500 * time.Millisecond // lines this near to each other are held to what the meter usually does
	usualTimes  = 5.0                     // times its usual step, and leastDigits at least
	leastDigits = 5.0
	leastPH     = 0.03 // a smaller lie endangers nothing
	leastMV     = 2.0
	usualAfter  = 8   // steps before the usual one is known
	usualShare  = 0.1 // of each step in the usual one
)

// Guard compares the lines of one meter with each other and refuses those that
// a fault of the line explains better than the meter: another shape or number
// of decimals than before, or a jump that the next line does not confirm. The
// zero value is ready; the first line is believed. It is not safe for
// concurrent use.
type Guard struct {
	form, rival frame.Form
	runs        int // lines in the rival form in a row
	ph          int // lines with a pH while those with mV alone are believed
	last, leap  meter.Reading
	alike       int           // lines like the leap in a row
	way         float64       // of the leap from the unconfirmed line before it; 0 for none
	confirmed   bool          // the latest line confirmed the one before it
	usual       float64       // size of a step from line to line, lately
	steps       int           // of which it was made, up to usualAfter
	pace        float64       // of a confirmed move that still goes on, from line to line
	heard       time.Time     // when a line was checked last
	gap         time.Duration // the shortest from line to line; 0 before it is known
}

// Check judges the next reading; At must be set. The error is ErrForm or
// ErrJump. A reading without a number passes and leaves no trace.
func (g *Guard) Check(r frame.Result) error {
	g.confirmed = false
	if !r.Reading.Usable() {
		return nil
	}
	if err := g.checkForm(r.Form, r.Reading.Flags.Has(meter.Unnamed)); err != nil {
		return err
	}
	return g.checkJump(r.Reading)
}

// checkForm compares the form with that of the lines before. The first one is
// believed, unless it leaves numbers without a name: such a line may be two
// that ran together, and has to come again.
func (g *Guard) checkForm(f frame.Form, unsure bool) error {
	if f.Loose {
		f.Decimals, f.TempDecimals = 0, min(f.TempDecimals, 0)
	}
	switch {
	case g.form == frame.Form{} && !unsure || g.form == f:
		g.form, g.runs = f, 0
		return nil
	case g.form.Quantity == meter.Millivolt && f.Quantity == meter.PH:
		// A meter that sends both by turns is read for its pH.
		if g.ph++; g.ph >= formRuns {
			*g = Guard{form: f}
			return nil
		}
		return ErrForm
	case g.rival == f:
		g.runs++
	default:
		g.rival, g.runs = f, 1
	}
	if g.runs < formRuns {
		return ErrForm
	}
	*g = Guard{form: f}
	return nil
}

func (g *Guard) checkJump(r meter.Reading) error {
	if d := r.At.Sub(g.heard); !g.heard.IsZero() && d > 0 && (g.gap == 0 || d < g.gap) {
		g.gap = d
	}
	g.heard = r.At
	limit := g.limit(r)
	switch {
	case near(g.last, r, limit):
		g.pace = 0 // and an unconfirmed leap was a damaged line
	case g.keepsPace(r):
		g.pace = r.Value - g.last.Value
	case g.confirms(r, limit):
		g.pace = r.Value - g.leap.Value
		g.confirmed = true
	default:
		return fmt.Errorf("%w: %s", ErrJump, jumped(g.last, r))
	}
	g.learn(r, limit)
	g.last, g.leap, g.alike, g.way = r, meter.Reading{}, 0, 0
	return nil
}

// confirms reports whether r confirms the unconfirmed leap; it takes its place
// otherwise. A temperature has to be confirmed as often as a new form: one that
// lost a digit does so again on the same bad line.
func (g *Guard) confirms(r meter.Reading, limit float64) bool {
	alike := !g.leap.At.IsZero() && (near(g.leap, r, limit) || g.goesOn(r) || g.slows(r))
	if !alike {
		g.alike = 0
	}
	if g.alike++; alike && (g.alike >= formRuns || !warmed(g.last, r)) {
		return true
	}
	if g.way = 0; !g.leap.At.IsZero() {
		g.way = r.Value - g.leap.Value
	}
	g.leap = r
	return false
}

// jumped says what jumped.
func jumped(last, r meter.Reading) string {
	if warmed(last, r) {
		return fmt.Sprintf("%g °C after %g °C", r.TempC, last.TempC)
	}
	return fmt.Sprintf("%g after %g", r.Value, last.Value)
}

// widest is the limit of a step whatever is known: what an electrode may go from line to
// line grows with the time between them. Of drops that fall into a beaker that does not
// buffer, a meter that sends each five seconds shows all at once.
func (g *Guard) widest(r meter.Reading) float64 {
	times := min(max(1, g.gap.Seconds()), stepMost)
	if r.Quantity == meter.Millivolt {
		return times * stepMV
	}
	return times * stepPH
}

// limit is how far r may lie from the line before without being confirmed.
func (g *Guard) limit(r meter.Reading) float64 {
	most := g.widest(r)
	if g.steps < usualAfter || g.gap == 0 || g.gap > stepOften {
		return most
	}
	missed := math.Sqrt(max(1, float64(r.At.Sub(g.last.At))/float64(g.gap)))
	least := leastPH
	if r.Quantity == meter.Millivolt {
		least = leastMV
	}
	return min(most, missed*max(usualTimes*g.usual, leastDigits*r.Resolution(), least))
}

// learn takes the step to r into the usual one, no more of it than the limit,
// so that a single long one does not open the door.
func (g *Guard) learn(r meter.Reading, limit float64) {
	if g.last.At.IsZero() {
		return
	}
	d := min(math.Abs(r.Value-g.last.Value), limit)
	if g.steps < usualAfter {
		g.usual += (d - g.usual) / float64(g.steps+1)
		g.steps++
		return
	}
	g.usual += usualShare * (d - g.usual)
}

// keepsPace reports whether r goes on with a move that was confirmed before, no
// faster than twice the pace it had.
func (g *Guard) keepsPace(r meter.Reading) bool {
	step := r.Value - g.last.Value
	return g.pace*step > 0 && math.Abs(step) <= min(2*math.Abs(g.pace), g.widest(r)) && !warmed(g.last, r)
}

// goesOn reports whether r goes on in the direction of an unconfirmed leap: what
// has begun to move moves on, and a damaged line does not foresee the next.
func (g *Guard) goesOn(r meter.Reading) bool {
	first, second := g.leap.Value-g.last.Value, r.Value-g.leap.Value
	return first*second > 0 && math.Abs(second) <= g.widest(r) && math.Abs(first) <= g.widest(r) && !warmed(g.leap, r)
}

// slows reports whether r is the third unconfirmed line of a move one way that slows
// down: an electrode that is put into another liquid goes fastest at first, and by more
// than any step is let through.
func (g *Guard) slows(r meter.Reading) bool {
	first, step := g.leap.Value-g.way-g.last.Value, r.Value-g.leap.Value
	return g.way*step > 0 && first*step > 0 && math.Abs(step) < math.Abs(g.way) && math.Abs(g.way) < math.Abs(first) && !warmed(g.leap, r)
}

// near reports whether b can follow a by a step within the limit. Anything can
// follow nothing, or a reading of long ago.
func near(a, b meter.Reading, limit float64) bool {
	return a.At.IsZero() || b.At.Sub(a.At) > stepHorizon || !warmed(a, b) && math.Abs(a.Value-b.Value) <= limit
}

// warmed reports whether the temperature jumped, or became one that cannot be.
func warmed(a, b meter.Reading) bool {
	return a.HasTemp && (b.Flags.Has(meter.BadTemp) || b.HasTemp && math.Abs(a.TempC-b.TempC) > stepTemp)
}
