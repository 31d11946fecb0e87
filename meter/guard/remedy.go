package guard

import (
	"errors"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/frame"
)

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
	{frame.ErrChecksum, "one rule is known, the exclusive-or after a star; a dialect file can name another (checksum), or check plug and cable"},
	{frame.ErrControl, "a dialect file can leave it out (drop); `halfdrop ports --learn NAME` writes one"},
	{frame.ErrGarbled, "check speed and plug: --mode \"9600 8N1\" sets the speed, and --port auto looks for it"},
	{frame.ErrTooLong, "check the terminator: a dialect file can name it, `halfdrop ports --learn NAME` looks for it"},
	{ErrForm, "if the meter was set to another form, it is taken after three lines; otherwise check plug and cable"},
	{meter.ErrImpossible, "is the electrode in the beaker, and its plug home? If so, run `halfdrop ports --learn NAME`, then use --meter NAME"},
	{ErrJump, "if it is true, the next line confirms it; otherwise check plug and cable"},
}
