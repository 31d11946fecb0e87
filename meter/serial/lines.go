package serial

import (
	"fmt"
	"time"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/frame"
)

// broken is how long a line may pause in its middle. A slower rest belongs to
// nothing: bytes between may be lost.
const broken = time.Second

// idle is how long a line must have been silent after it was opened for its
// first byte to begin a line.
const idle = 300 * time.Millisecond

// Why a line was thrown away.
var (
	errBroken = fmt.Errorf("%w: the line was cut short", meter.ErrNotReading)
	errBegun  = fmt.Errorf("%w: the beginning of the line may be missing", meter.ErrNotReading)
	errEcho   = fmt.Errorf("%w: an echo of the question, ignored from here on", meter.ErrNotReading)
)

// lines collects bytes into lines. Until the first terminator it passes
// everything over, because a port can be opened in the middle of a line.
type lines struct {
	terminator string
	buf        []byte
	skipping   bool
	begun      bool      // what is skipped had begun before the port was open
	fresh      bool      // nothing has come yet
	opened     time.Time // and old input thrown away
	last       time.Time // when the last bytes came
}

func newLines(terminator string, now time.Time) *lines {
	return &lines{terminator: terminator, skipping: true, begun: true, fresh: true, opened: now}
}

// restart throws away what is held: the line that goes on is not whole.
func (l *lines) restart() {
	l.buf, l.skipping, l.begun = nil, true, false
}

// feed takes the bytes of one read, none after a timeout, and gives the lines
// that are complete. cut is what was thrown away of a line that broke off, or
// whose beginning was not heard; why says which.
func (l *lines) feed(now time.Time, b []byte) (out [][]byte, cut []byte, why error) {
	if len(l.buf) > 0 && now.Sub(l.last) > broken {
		if !l.skipping {
			cut, why = l.buf, errBroken
		}
		l.restart()
	}
	if len(b) == 0 {
		// A read that waited and brought nothing shows that nothing had come
		// by now, however late the read itself was.
		if l.fresh && now.Sub(l.opened) >= idle {
			l.skipping = false
		}
		return nil, cut, why
	}
	l.last, l.fresh = now, false
	l.buf = append(l.buf, b...)
	for {
		line, n := frame.Cut(l.buf, l.terminator)
		if n == 0 {
			return out, cut, why
		}
		switch {
		case len(line) == 0:
		case l.skipping && l.begun:
			cut, why = append([]byte(nil), line...), errBegun
		case !l.skipping:
			out = append(out, append([]byte(nil), line...))
		}
		l.skipping = false
		l.buf = l.buf[n:]
	}
}
