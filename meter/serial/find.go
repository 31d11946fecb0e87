package serial

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/guard"
	"example.org/halfdrop/meter/phrase"
)

// FindTime is how long Find takes at most.
const FindTime = 15 * time.Second

// Found is a port on which a meter was understood.
type Found struct {
	Config  Config        // to open it with
	Reading meter.Reading // the first one; it may be some seconds old
	Shape   string        // how the line was read
}

// String says what was found: port, speed, line and how it is asked.
func (f Found) String() string {
	s := fmt.Sprintf("%s at %s: %q, read as %s", f.Config.Name, f.Config.Mode(), f.Reading.Raw, f.Shape)
	if f.Config.Query != "" {
		s += fmt.Sprintf(", asked with %q", strings.TrimSpace(f.Config.Query))
	}
	return s
}

// FindError says that on no port a meter was found that could be read.
type FindError struct {
	Ports []string // what was found out about each port, in words
}

// Error says what was found out.
func (e *FindError) Error() string {
	if len(e.Ports) == 0 {
		return "serial: no meter found: there is no serial port"
	}
	return "serial: no meter found; " + strings.Join(e.Ports, "; ")
}

// Remedy is what to try.
func (e *FindError) Remedy() string {
	if len(e.Ports) == 0 {
		return "plug the adapter in, and see `halfdrop ports`"
	}
	return "switch the meter on and let it send by itself; check with `halfdrop ports --listen NAME --mode \"9600 8N1\"`; `halfdrop ports --learn NAME` asks what an odd one sends"
}

// The speeds that are tried, the usual first (common practice, no source). A
// parity needs no try while listening: it shows in the bytes.
var (
	listenModes = []string{"9600 8N1", "115200 8N1", "19200 8N1", "38400 8N1", "57600 8N1", "4800 8N1", "2400 8N1", "1200 8N1"}
	askModes    = []string{"9600 8N1", "115200 8N1", "19200 8N1", "9600 7E1", "38400 8N1", "4800 8N1", "2400 7E1", "1200 7O1"}
	// Questions that ask and set nothing: two in the manner of SCPI-1999 and an
	// empty line.
	questions = []string{"READ?\r\n", "MEAS:PH?\r\n", "\r"}
)

// Waits of the search (choice): long enough for a line a second, and for the
// tail of one before it; short enough for FindTime in all.
const (
	listenFirst = 2300 * time.Millisecond // at the first speed
	listenNext  = 1300 * time.Millisecond // at another speed, when nothing comes
	listenText  = 3500 * time.Millisecond // when text comes
	answerTime  = 300 * time.Millisecond  // for an answer
	garbledAt   = 12                      // bytes by which a wrong speed is known
)

// Find tries ports at the usual speeds, listening first and then asking, until
// one gives a reading. No names means every port that there is. It calls
// progress, which may be nil, from one goroutine at a time with words on what
// it does. Other instruments on these ports get the questions too; they set
// nothing. A meter that sends less than a line every two seconds may not be
// found. Where the meter has still to be learned, a port from which lines with numbers
// come is found as well, though nobody has said what they are. It ends within FindTime.
// The error is a *FindError or that of ctx.
func Find(ctx context.Context, names []string, toLearn bool, progress func(string)) (Found, error) {
	return find(ctx, names, progress, openPort, time.Now, toLearn)
}

func find(ctx context.Context, names []string, progress func(string), open func(Config) (port, error), now func() time.Time, talker bool) (Found, error) {
	if len(names) == 0 {
		ports, err := List()
		if err != nil {
			return Found{}, err
		}
		names = phrase.Each(ports, func(p Info) string { return p.Name })
	}
	inner, cancel := context.WithTimeout(ctx, FindTime)
	defer cancel()
	var mu sync.Mutex
	say := func(format string, args ...any) {
		mu.Lock()
		defer mu.Unlock()
		if progress != nil {
			progress(fmt.Sprintf(format, args...))
		}
	}
	results := make(chan probe)
	for _, name := range names {
		go func() {
			p := probe{ctx: inner, cfg: Config{Name: name}, say: say, open: open, now: now, talker: talker}
			p.run()
			results <- p
		}()
	}
	var found *Found
	failed := &FindError{}
	for range names {
		p := <-results
		if p.found != nil && found == nil {
			found = p.found
			cancel() // the others need not go on
		}
		failed.Ports = append(failed.Ports, p.cfg.Name+": "+p.result)
	}
	switch {
	case found != nil:
		return *found, nil
	case ctx.Err() != nil:
		return Found{}, ctx.Err()
	}
	slices.Sort(failed.Ports)
	return Found{}, failed
}

// probe is the search on one port.
type probe struct {
	ctx    context.Context
	cfg    Config
	say    func(string, ...any)
	open   func(Config) (port, error)
	now    func() time.Time
	port   port
	talker bool   // lines that ask for a name are enough
	result string // in words
	found  *Found
	asks   error // why a line with numbers was no reading, when a person can say what they are
}

// verdict is what listening at one speed showed.
type verdict uint8

const (
	nothing  verdict = iota // no byte
	garbage                 // bytes that are no text
	text                    // text, and no reading in it
	readable                // a reading
)

func (p *probe) run() {
	c, err := p.cfg.complete()
	if err == nil {
		p.port, err = p.open(c)
	}
	if err != nil {
		var o *OpenError
		if p.result = err.Error(); errors.As(err, &o) {
			p.result = o.Kind.Error()
		}
		p.say("%s: %s", p.cfg.Name, p.result)
		return
	}
	defer p.port.Close()
	defer context.AfterFunc(p.ctx, func() { _ = p.port.Close() })()
	p.result = "nothing came at any speed, and no question was answered"
	if seen := p.listen(); seen != readable && p.ctx.Err() == nil {
		p.ask(seen)
	}
}

// listen tries the speeds with a meter that sends by itself. Silence at the two
// commonest speeds is silence: at a wrong speed there would be something.
func (p *probe) listen() (most verdict) {
	for i, mode := range listenModes {
		wait := listenNext
		if i == 0 {
			wait = listenFirst
		}
		if i > 1 && most == nothing {
			return nothing
		}
		p.say("%s: listening at %s", p.cfg.Name, mode)
		seen := p.try(mode, "", wait)
		if most = max(most, seen); seen == readable || p.ctx.Err() != nil {
			return most
		}
		switch seen {
		case garbage:
			p.result = "bytes came, and at no usual speed were they text"
			p.say("%s: no text at %s", p.cfg.Name, mode)
		case text:
			if p.result = "lines came, but none was a reading; a dialect file can describe them"; p.asks != nil {
				p.result = fmt.Sprintf("lines came (%s); %s", strings.TrimPrefix(p.asks.Error(), meter.ErrNotReading.Error()+": "), guard.Remedy(p.asks))
			}
			return most // the speed is right; no other one will be better
		}
	}
	return most
}

// ask tries the questions with a meter that waits for one. One that sends text
// by itself is not asked.
func (p *probe) ask(seen verdict) {
	if seen == text {
		return
	}
	for _, mode := range askModes {
		p.say("%s: asking at %s", p.cfg.Name, mode)
		for _, q := range questions {
			if p.try(mode, q, answerTime) == readable || p.ctx.Err() != nil {
				return
			}
		}
	}
}

// garbled reports whether bytes are those of a wrong speed.
func garbled(all []byte) bool { return len(all) >= garbledAt && frame.Noise(all) > noisy }

// try listens at one speed, after a question or without, for as long as wait or
// until the bytes say what they are.
func (p *probe) try(mode, question string, wait time.Duration) verdict {
	c := p.cfg
	if c.SetMode(mode) != nil || p.port.setMode(c) != nil {
		return nothing // this adapter cannot do it
	}
	c.Query = question
	_ = p.port.flushInput()
	began := p.now()
	held := newLines("", began)
	if question != "" {
		_ = p.port.flushOutput()
		if _, err := p.port.Write([]byte(question)); err != nil {
			return nothing
		}
		held.skipping = false // what comes is the answer
	}
	var all []byte
	texts := 0 // whole lines of text
	buf := make([]byte, 256)
	for p.now().Sub(began) < wait && p.ctx.Err() == nil {
		n, err := p.port.Read(buf)
		if err != nil {
			break
		}
		all = append(all, buf[:n]...)
		whole, _, _ := held.feed(p.now(), buf[:n])
		for _, line := range whole {
			if p.accept(c, line) {
				return readable
			}
			if len(line) > 2 && frame.Noise(line) == 0 {
				texts++
			}
		}
		if garbled(all) {
			return garbage
		}
		if n > 0 && question == "" && frame.Noise(all) == 0 {
			wait = listenText // it may be the right speed: give it time for a line
		}
	}
	switch {
	case texts > 0 && frame.Noise(all) < noisy/2:
		return text
	case len(all) > 0:
		return garbage
	}
	return nothing
}

// asks reports whether a line is none because a person has to say what it holds.
func asks(err error) bool {
	return errors.Is(err, frame.ErrUnnamed) || errors.Is(err, frame.ErrAmbiguous) || errors.Is(err, frame.ErrChannels)
}

// accept takes a line that is a reading, and with it the port and its mode.
func (p *probe) accept(c Config, line []byte) bool {
	line, _ = unechoed(line, c.Query)
	r, err := frame.Read(line)
	if asks(err) {
		p.asks = err
	}
	if p.talker && err != nil && len(line) > 2 && frame.Noise(line) == 0 && bytes.ContainsAny(line, "0123456789") {
		r.Reading, r.Form.Shape, err = meter.Reading{Raw: frame.Printable(line)}, "a line to be learned", nil
	}
	if err != nil || !r.Reading.Usable() {
		return false
	}
	r.Reading.At = p.now()
	switch frame.ParityOf(line) {
	case frame.Even:
		c.Bits, c.Parity = 7, Even
	case frame.Odd:
		c.Bits, c.Parity = 7, Odd
	case frame.Mark:
		c.Bits, c.Parity = 7, Mark
	}
	p.found = &Found{Config: c, Reading: r.Reading, Shape: r.Form.Shape}
	p.say("found %s", p.found)
	return true
}
