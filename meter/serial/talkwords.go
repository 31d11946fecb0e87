package serial

import (
	"errors"
	"fmt"
	"math/bits"
	"strings"
	"time"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/guard"
	"example.org/halfdrop/meter/phrase"
)

// oddWords say what a line is, and why it is no reading.
func oddWords(line []byte, why error) string {
	return fmt.Sprintf("“%s”, %s", phrase.Clip(frame.Printable(line), 24), strings.TrimPrefix(why.Error(), meter.ErrNotReading.Error()+": "))
}

// errUnread is the cause that a quiet line carries over which something comes.
var errUnread = errors.New("serial: what arrives is not a reading")

// quietCause is errUnread when something comes, and nil when nothing does.
func (t *talk) quietCause() error {
	if t.oddLines > 0 || len(t.noise) > 0 {
		return errUnread
	}
	return nil
}

// quietWords say what may be the matter with a line without readings.
func (t *talk) quietWords() string {
	switch {
	case len(t.noise) >= 4 && frame.Noise(t.noise) > noisy:
		if networked(t.current()) {
			return "what arrives is not text; the serial server is probably not set to the meter's speed"
		}
		return fmt.Sprintf("what arrives is not text; the meter is probably not set to %s. Try --port auto", t.cfg.Mode())
	case t.oddLines > 0:
		return fmt.Sprintf("no reading: %s; %s", t.odd, guard.Remedy(t.oddErr))
	case len(t.noise) > 0:
		return "bytes arrive, but no line ends. Check the speed and the terminator"
	case t.cfg.Query != "" && networked(t.current()):
		return "the meter does not answer. Is it on, and is the serial server set to its speed?"
	case networked(t.current()):
		return "nothing arrives over the network. Is the meter on, does it send by itself, and is the serial server set to its speed?"
	case t.current() == Stdin:
		return "nothing arrives on standard input"
	case t.cfg.Query != "":
		return "the meter does not answer. Is it on, and is it the right speed?"
	}
	return "nothing arrives from the meter. Is it on, and does it send by itself?"
}

// Of the last 32 lines, how many damaged ones are worth a word, and how few
// are well again (choice).
const (
	manySpoilt = 8
	fewSpoilt  = 2
)

// errSpoilt is the cause that a report of a live but damaged line carries.
var errSpoilt = errors.New("serial: many lines arrive damaged")

// tellSpoilt says, once an episode, that many lines between the readings are
// none: what a loose plug does, or another program that takes its share.
func (t *talk) tellSpoilt(now time.Time) {
	switch n := bits.OnesCount32(t.recent); {
	case n >= manySpoilt && !t.spoilt:
		t.spoilt = true
		words := fmt.Sprintf("%d of 32 lines arrive damaged: a loose plug, or another program on the port?", n)
		t.send(meter.Report{Kind: meter.GotLink, At: now, Link: t.link, Text: words, Err: errSpoilt})
	case n <= fewSpoilt && t.spoilt:
		t.spoilt = false
		t.send(meter.Report{Kind: meter.GotLink, At: now, Link: t.link, Text: "the lines arrive whole again"})
	}
}

// errCold is the cause that a report of a temperature that is not used carries.
var errCold = errors.New("serial: the temperature is not used")

// tellCold says, once an episode, that the temperature of the meter is not used.
func (t *talk) tellCold(now time.Time) {
	why := t.judge.Warmth()
	if why == t.cold {
		return
	}
	t.cold = why
	if why == "" {
		t.send(meter.Report{Kind: meter.GotLink, At: now, Link: t.link, Text: "the temperature of the meter is used again"})
		return
	}
	t.send(meter.Report{Kind: meter.GotLink, At: now, Link: t.link, Text: "the temperature that the meter sends is not used: " + why, Err: errCold})
}
