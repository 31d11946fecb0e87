package serial

import (
	"context"
	"errors"
	"strings"
	"time"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/guard"
)

// Limits of a talk (choice).
const (
	badPerSecond = 10                     // bad lines reported in one second
	patience     = 500 * time.Millisecond // that a receiver may let a report wait before the input is too old
	noisy        = 0.25                   // share of foreign bytes that means a wrong speed
)

// talk is one Run of a Source.
type talk struct {
	*Source
	ctx   context.Context
	out   chan<- meter.Report
	link  meter.Link
	words string // of the last report about the link
	judge guard.Judge
	read  *frame.Reader

	port     port
	lines    *lines
	good     time.Time        // when the last reading came, or the line was opened
	gaps     [2]time.Duration // between the last three readings, the latest one last
	reads    int              // that have come since the line was opened, three at the most
	asked    time.Time        // when the last query went out
	heard    bool             // anything has come since the line was opened
	rest     time.Duration    // before a line is opened again that broke at once
	slow     bool             // the receiver let a report wait
	noise    []byte           // the last bytes that were no reading
	odd      string           // the first of them and why
	oddErr   error            // why
	oddLines int              // lines that were no reading since the last one that was
	held     *heldLine        // waits for the next line
	echoes   bool             // the line repeats the query, and that has been said
	recent   uint32           // of the last lines, a bit for each that was no reading
	spoilt   bool             // many of them were, and that has been said
	cold     string           // why the temperature is not used, as it was said last
	second   time.Time        // of the count of bad lines
	bad      int              // bad lines in that second
}

// errGone is the end of a session whose device went away without an error.
var errGone = errors.New("serial: the device is gone")

// session reads from an open port until it breaks or the context ends.
func (t *talk) session(p port) error {
	defer p.Close()
	defer context.AfterFunc(t.ctx, func() { _ = p.Close() })()
	now := t.cfg.Now()
	_ = p.flushInput() // what lies there was sent to nobody
	t.port, t.lines, t.good, t.asked = p, newLines(t.cfg.Terminator, now), now, time.Time{}
	t.gaps, t.reads = [2]time.Duration{}, 0
	t.noise, t.oddLines, t.slow, t.recent, t.spoilt, t.echoes, t.held = nil, 0, false, 0, false, false, nil
	if t.current() == Stdin {
		t.lines.skipping = false // it is read from its beginning
	}
	t.read, t.heard = t.cfg.Dialect.Reader(), false
	t.tell(opened, shown(t.current())+" is open, waiting for a reading", nil)
	buf := make([]byte, 1024)
	for t.ctx.Err() == nil {
		n, err := p.Read(buf)
		if n > 0 {
			t.receive(buf[:n])
		}
		if err != nil {
			return err
		}
		if n == 0 {
			t.receive(nil)
		}
		if err := t.idle(); err != nil {
			return err
		}
	}
	return t.ctx.Err()
}

// receive takes the bytes of one read and reports the lines in them.
func (t *talk) receive(b []byte) {
	now := t.cfg.Now()
	t.heard = t.heard || len(b) > 0
	whole, cut, why := t.lines.feed(now, b)
	if cut != nil {
		t.badLine(now, cut, why)
	}
	for _, line := range whole {
		bare, echo := unechoed(line, t.cfg.Query)
		if echo && !t.echoes {
			t.echoes = true
			t.badLine(now, line, errEcho)
		}
		if !frame.Blank(bare) {
			t.line(now, bare)
		}
		if t.slow {
			// The rest is older than its time stamp would say, and the system
			// may have dropped bytes of it.
			t.slow = false
			_ = t.port.flushInput()
			t.lines.restart()
			return
		}
	}
	if len(whole) == 0 {
		t.noise = tailOf(append(t.noise, b...), 64)
	}
}

// unechoed is a line without the query that it repeats, and whether it does.
func unechoed(line []byte, query string) (bare []byte, echo bool) {
	if query = strings.TrimSpace(query); query == "" {
		return line, false
	}
	rest, echo := strings.CutPrefix(strings.TrimSpace(string(line)), query)
	return []byte(strings.TrimLeft(rest, " ")), echo
}

// line reads one line and reports it.
func (t *talk) line(now time.Time, line []byte) {
	r, err := t.read.Read(line)
	if errors.Is(err, frame.ErrSkip) || errors.Is(err, frame.ErrMore) {
		return
	}
	if r, err = t.judge.Take(now, r, err); errors.Is(err, guard.ErrJump) {
		t.recent <<= 1
		t.settleHeld(false)
		r.Reading.HasTemp = false // not judged
		t.held = &heldLine{now, append([]byte(nil), line...), r.Reading, err}
		return
	}
	if err != nil {
		t.refuse(now, line, err)
		return
	}
	t.recent <<= 1
	t.settleHeld(t.judge.Confirmed())
	t.pace(now)
	t.good, t.oddLines, t.noise = now, 0, nil
	t.tell(read, "readings come from "+shown(t.current()), nil)
	t.tellSpoilt(now)
	t.tellCold(now)
	t.send(meter.Report{Kind: meter.GotReading, At: now, Reading: r.Reading})
}

// refuse reports a line that is no reading, unless it is of a kind that belongs
// to what this meter sends.
func (t *talk) refuse(now time.Time, line []byte, err error) {
	if t.oddLines++; t.oddLines == 1 {
		t.odd, t.oddErr = oddWords(line, err), err // the first of them: words that changed with each line would fill the record
	}
	switch t.judge.Worth(line, err) {
	case guard.Known:
		t.recent <<= 1
		if !t.cfg.All {
			t.noise = tailOf(append(t.noise, line...), 64)
			return
		}
	case guard.Damaged:
		t.recent = t.recent<<1 | 1
	default:
		t.recent <<= 1
	}
	t.settleHeld(false)
	t.badLine(now, line, err)
}

// heldLine is a reading that jumped, until the next one confirms it or not.
type heldLine struct {
	at      time.Time
	line    []byte
	reading meter.Reading
	why     error
}

// settleHeld reports the reading that waits: as one, or as a damaged line.
func (t *talk) settleHeld(confirmed bool) {
	h := t.held
	if h == nil {
		return
	}
	t.held = nil
	if confirmed {
		t.send(meter.Report{Kind: meter.GotReading, At: h.at, Reading: h.reading})
		return
	}
	t.recent |= 2 // the line before this one
	if t.oddLines++; t.oddLines == 1 {
		t.odd, t.oddErr = oddWords(h.line, h.why), h.why
	}
	t.badLine(h.at, h.line, h.why)
}

// badLine reports a line that is no reading, unless too many of them come.
func (t *talk) badLine(now time.Time, line []byte, why error) {
	t.noise = tailOf(append(t.noise, line...), 64)
	if now.Sub(t.second) >= time.Second {
		t.second, t.bad = now, 0
	}
	if t.bad++; t.bad <= badPerSecond {
		t.send(meter.Report{Kind: meter.GotBadLine, At: now, Text: frame.Printable(line), Err: why})
	}
}

// pace notes how far apart the readings come.
func (t *talk) pace(now time.Time) {
	if t.reads > 0 {
		t.gaps[0], t.gaps[1] = t.gaps[1], now.Sub(t.good)
	}
	t.reads = min(t.reads+1, 3)
}

// A meter that sends seldom is silent when it is late by so much; one that has been
// silent for long is no meter that sends seldom. How seldom it sends is not known before
// its second reading: meters that print each five seconds are usual (choice).
const (
	lateBy     = 1.6
	seldomMost = 20 * time.Second
	unknownBy  = 2.4 // times the quiet time
)

// silentAfter is how long without a reading a line is called quiet.
func (t *talk) silentAfter() time.Duration {
	pace := t.gaps[1]
	switch {
	case t.reads < 2 && t.cfg.Query == "" && len(t.noise) == 0:
		return time.Duration(unknownBy * float64(t.cfg.Quiet))
	case t.reads < 2:
		return t.cfg.Quiet
	case t.reads > 2:
		pace = min(pace, t.gaps[0])
	}
	return max(t.cfg.Quiet, time.Duration(lateBy*float64(min(pace, seldomMost))))
}

// signal is when the line last showed that there is a meter behind it: a reading that is
// held until the next one confirms it is no silence.
func (t *talk) signal() time.Time {
	if t.held != nil && t.oddLines == 0 {
		return t.held.at
	}
	return t.good
}

// idle does what is due between two reads: the query, and the look at the clock.
func (t *talk) idle() error {
	now := t.cfg.Now()
	if now.Sub(t.good) > t.cfg.Quiet && !t.port.present() {
		t.settleHeld(false)
		return errGone
	}
	if now.Sub(t.signal()) > t.silentAfter() {
		t.settleHeld(false)
		t.tell(silence, t.quietWords(), t.quietCause())
	}
	if t.cfg.Query == "" || t.lines.skipping && t.lines.fresh || now.Sub(t.asked) < t.cfg.Interval {
		return nil
	}
	t.asked = now
	// A write has no time limit. With nothing older in the way it cannot wait.
	_ = t.port.flushOutput()
	_, err := t.port.Write([]byte(t.cfg.Query))
	return err
}

// tell reports a change of the link, or of what there is to say about it.
func (t *talk) tell(e event, words string, cause error) {
	next := step(t.link, e)
	if next == t.link && (words == t.words || next == meter.Live || next == meter.Opening) {
		return
	}
	t.link, t.words = next, words
	t.send(meter.Report{Kind: meter.GotLink, At: t.cfg.Now(), Link: next, Text: words, Err: cause})
}

// send waits for the receiver, and notes when that took long.
func (t *talk) send(r meter.Report) {
	before := t.cfg.Now()
	select {
	case t.out <- r:
	case <-t.ctx.Done():
	}
	if t.cfg.Now().Sub(before) > patience {
		t.slow = true
	}
}

func tailOf(b []byte, n int) []byte {
	return b[max(0, len(b)-n):]
}
