// Package guard judges the lines of one meter in their order: it keeps channels apart,
// passes printouts over, refuses what a fault of the line explains better than the meter,
// and follows a temperature before it is believed. It is pure: its only clock is the time
// that a line comes with.
package guard

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/phrase"
)

// Errors of a Judge; both are meter.ErrNotReading.
var (
	ErrPrintout = fmt.Errorf("%w: it may belong to the printout before it", frame.ErrCalibration)
	ErrOther    = fmt.Errorf("%w: another channel", meter.ErrNotReading)
)

// printoutFor is how long after a line about a calibration nothing is taken for
// a reading (choice): the rows of the printout follow at once.
const printoutFor = 3 * time.Second

// Judge follows the lines of one meter in their order and says of each what it
// is worth: it keeps channels apart, passes calibration printouts over, compares
// each line with those before it (see Guard), and takes a temperature away that
// does not behave as one. The zero value is ready. It is pure: its only clock is
// the time that a line comes with. It is not safe for concurrent use.
type Judge struct {
	Channel string // the one that stands in the beaker; empty when nobody has said

	guard    Guard
	warmth   warmth
	channels channels
	printout time.Time // of the latest line of one
	model    string    // the last reading, without its digits
	good     int       // readings so far
	others   map[string]int
}

// Take judges one line, as a frame.Reader has read it, that came at a time. On an
// error there is no reading; the errors of reading it are passed on. The
// temperature of a reading is one that may be followed.
func (j *Judge) Take(at time.Time, r frame.Result, err error) (frame.Result, error) {
	r.Reading.At = at
	if err != nil {
		if errors.Is(err, frame.ErrCalibration) || j.printing(at) {
			j.printout = at
		}
		return r, err
	}
	if j.printing(at) {
		return r, ErrPrintout
	}
	if err := j.chosen(r); err != nil {
		return r, err
	}
	seen := r
	if !j.warmth.trusted { // what is not used does not make a line suspect
		seen.Reading.HasTemp = false
	}
	if err := j.guard.Check(seen); err != nil {
		return r, err
	}
	if r.Reading.HasTemp && !j.warmth.take(at, r.Reading.TempC, r.Labelled) {
		r.Reading.HasTemp = false
		r.Reading.Flags |= meter.NoTemp
	}
	j.model = skeleton(r.Reading.Raw)
	j.good++
	return r, nil
}

func (j *Judge) printing(at time.Time) bool {
	return !j.printout.IsZero() && at.Sub(j.printout) < printoutFor
}

// chosen refuses what another channel says.
func (j *Judge) chosen(r frame.Result) error {
	switch {
	case j.Channel == "":
		return j.channels.check(r)
	case !sameChannel(j.Channel, r):
		return fmt.Errorf("%w than %s", ErrOther, j.Channel)
	}
	return nil
}

// Confirmed reports whether the line taken last has confirmed the latest one
// that was refused as a jump: see Guard.
func (j *Judge) Confirmed() bool { return j.guard.confirmed }

// Warmth is why the temperature that the meter sends is not used, or nothing
// when it is, or is not known for long enough.
func (j *Judge) Warmth() string {
	if j.warmth.trusted || j.warmth.why == WarmWaits {
		return ""
	}
	return j.warmth.why
}

// Worth is what a line that is no reading says about the line to the meter.
type Worth uint8

const (
	Foreign Worth = iota // something else than a reading; the first of its kind
	Damaged              // a reading that arrived damaged
	Known                // the like has come several times; it belongs to what this meter sends
)

// knownAfter is how many lines that are alike but for their digits belong to
// what a meter sends, and keptKinds how many such kinds are kept.
const (
	knownAfter = 2
	knownShare = 6 // one in so many readings, for what resembles one
	keptKinds  = 64
)

// Worth judges a line that Take has refused with err. A record that a meter
// prints around its readings is no damage, however many lines it has.
func (j *Judge) Worth(line []byte, err error) Worth {
	kind := skeleton(frame.Printable(line[:min(len(line), frame.MaxLine)]))
	if j.others == nil || len(j.others) > keptKinds {
		j.others = map[string]int{}
	}
	j.others[kind]++
	piece := j.model != "" && pieceOf(kind, j.model)
	like := piece || j.model != "" && phrase.Slips(kind, j.model) <= max(2, len(j.model)/4)
	switch {
	case errors.Is(err, ErrOther) || errors.Is(err, frame.ErrCalibration) || errors.Is(err, frame.ErrHeld):
		return Known
	case errors.Is(err, ErrJump):
		return Damaged
	case errors.Is(err, frame.ErrGarbled) || errors.Is(err, frame.ErrChecksum) || errors.Is(err, frame.ErrTooLong):
		return Damaged
	case piece && !errors.Is(err, ErrForm):
		return Damaged
	case j.others[kind] > knownAfter && !(like && j.others[kind]*knownShare < j.good):
		return Known
	case errors.Is(err, ErrForm) || like:
		return Damaged
	}
	return Foreign
}

// skeleton is a line without its digits: a 0 stands for each row of them.
func skeleton(line string) string {
	var b strings.Builder
	last := rune(0)
	for _, r := range line {
		if r >= '0' && r <= '9' {
			r = '0'
		}
		if r == last && (r == '0' || r == ' ') {
			continue
		}
		b.WriteRune(r)
		last = r
	}
	return b.String()
}

// pieceOf reports whether a line is a part of another, or holds all of it: what
// a bad line leaves of a reading, or makes of two.
func pieceOf(a, b string) bool {
	return a == "" || len(a) > 1 && strings.Contains(b, a) || strings.Contains(a, b)
}

// Remedy is what a person can do about lines that are refused with err: words
// that follow what is wrong. It is never empty.
func Remedy(err error) string {
	for _, r := range remedies {
		if errors.Is(err, r.err) {
			return r.words
		}
	}
	return "if it is a reading, run `halfdrop ports --learn NAME`, then use --meter NAME"
}

var remedies = []struct {
	err   error
	words string
}{
	{frame.ErrUnnamed, "run `halfdrop ports --learn NAME`, then use --meter NAME"},
	{frame.ErrAmbiguous, "run `halfdrop ports --learn NAME`, then use --meter NAME"},
	{ErrCounting, "wait for a few more lines, or say which channel with --channel"},
	{frame.ErrChannels, "say with --channel which one is in the beaker"},
	{ErrOther, "--channel names the one that is read"},
	{frame.ErrCalibration, "let the meter go back to measuring; if these are readings, `halfdrop ports --learn NAME` describes them"},
	{frame.ErrHeld, "release it on the meter: it does not follow the beaker"},
	{frame.ErrChecksum, "one rule is known, the exclusive-or after a star; a dialect file can name another (checksum), or check plug and cable"},
	{frame.ErrControl, "a dialect file can leave it out (drop); `halfdrop ports --learn NAME` writes one"},
	{frame.ErrGarbled, "check speed and plug: --mode \"9600 8N1\" sets the speed, and --port auto looks for it"},
	{frame.ErrTooLong, "check the terminator: a dialect file can name it, `halfdrop ports --learn NAME` looks for it"},
	{ErrForm, "if the meter was set to another form, it is taken after three lines; otherwise check plug and cable"},
	{meter.ErrImpossible, "is the electrode in the beaker, and its plug home? If so, run `halfdrop ports --learn NAME`, then use --meter NAME"},
	{ErrJump, "if it is true, the next line confirms it; otherwise check plug and cable"},
}
