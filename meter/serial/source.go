package serial

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"time"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/guard"
)

// Source is a meter on a serial port. Open makes one; Run gives its reports.
type Source struct {
	cfg   Config
	open  func(Config) (port, error)
	list  func() ([]Info, error)
	mu    sync.Mutex
	name  string // of the port now; another one when the adapter came back so
	ready port   // opened and not yet taken by Run
	id    Info   // identity of the adapter, when the system knows it
}

var _ meter.Source = (*Source)(nil)

// Open opens a port. Errors are an *OpenError, of the kind meter.ErrNoPort,
// meter.ErrBusy or meter.ErrPermission where it is one of these, with a remedy
// that Hint gives; or words about the Config. A Source that is never run must
// be closed.
func Open(c Config) (*Source, error) { return open(c, openPort, List) }

func open(c Config, with func(Config) (port, error), list func() ([]Info, error)) (*Source, error) {
	c, err := c.complete()
	if err != nil {
		return nil, err
	}
	s := &Source{cfg: c, name: c.Name, open: with, list: list}
	if s.ready, err = with(c); err != nil {
		return nil, err
	}
	s.id = s.identity()
	return s, nil
}

// identity is what the system knows of the port, empty when that is nothing.
func (s *Source) identity() Info {
	if s.name == Stdin || networked(s.name) {
		return Info{}
	}
	ports, _ := s.list() // without the list nothing is known
	if i := slices.IndexFunc(ports, func(p Info) bool { return p.Name == s.name }); i >= 0 {
		return ports[i]
	}
	return Info{}
}

// String names the port as it is now.
func (s *Source) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.name == Stdin || networked(s.name) {
		return shown(s.name)
	}
	return "serial port " + s.name
}

// Close closes a port that Run has not taken. It does not end Run; its context does.
func (s *Source) Close() error {
	if p := s.take(); p != nil {
		return p.Close()
	}
	return nil
}

func (s *Source) take() port {
	s.mu.Lock()
	defer s.mu.Unlock()
	p := s.ready
	s.ready = nil
	return p
}

// Run sends reports until ctx ends and returns its error. It never gives a line
// up. When Run returns the port is closed and nothing of it goes on.
func (s *Source) Run(ctx context.Context, out chan<- meter.Report) error {
	t := &talk{Source: s, ctx: ctx, out: out, judge: guard.Judge{Channel: s.cfg.Channel}}
	p := s.take()
	for {
		if p != nil {
			err := t.session(p)
			if ctx.Err() != nil {
				return ctx.Err()
			}
			t.tell(broke, lostWords(s.current(), err), err)
			if in, ok := p.(*pipe); ok && errors.Is(err, errInputEnded) {
				in.last.Do(func() { close(in.ended) })
			}
			t.slacken()
		}
		var err error
		if p, err = t.regain(); err != nil {
			return err
		}
	}
}

// shown is the name of a port for people.
func shown(name string) string {
	if name == Stdin {
		return "standard input"
	}
	return name
}

func (s *Source) current() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.name
}

// regain tries to open the port until it is there. Its error is that of the context.
func (t *talk) regain() (port, error) {
	for {
		p, err := t.reopen()
		if err == nil {
			return p, nil
		}
		if !errors.Is(err, meter.ErrNoPort) {
			t.tell(refused, refusedWords(err), err)
		}
		if err := t.wait(t.cfg.Retry); err != nil {
			return nil, err
		}
	}
}

// longestRest is how long a line rests at most that can be opened and breaks at
// once, each time.
const longestRest = 5 * time.Second

// slacken rests before a line is opened again that broke before anything came
// over it: a serial server that somebody else uses accepts and hangs up.
func (t *talk) slacken() {
	if t.heard {
		t.rest = 0
		return
	}
	t.rest = min(max(2*t.rest, t.cfg.Retry), longestRest)
	_ = t.wait(t.rest)
}

// wait waits, or gives the error of the context.
func (t *talk) wait(d time.Duration) error {
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-t.ctx.Done():
		return t.ctx.Err()
	case <-timer.C:
		return nil
	}
}

// reopen tries the name, then any other port that is the same adapter.
func (t *talk) reopen() (port, error) {
	c := t.cfg
	c.Name, c.ctx = t.current(), t.ctx
	p, err := t.open(c)
	if err == nil || !t.id.USB || !errors.Is(err, meter.ErrNoPort) {
		return p, err
	}
	ports, lerr := t.list()
	if lerr != nil {
		return nil, err
	}
	for _, other := range ports {
		if !other.same(t.id) {
			continue
		}
		c.Name = other.Name
		if p, oerr := t.open(c); oerr == nil {
			t.mu.Lock()
			t.name = other.Name
			t.mu.Unlock()
			return p, nil
		}
	}
	return nil, err
}

// lostWords say what to do about a line that is gone.
func lostWords(name string, why error) string {
	switch {
	case errors.Is(why, errTelnet):
		return fmt.Sprintf("%s (%s): %s", errTelnet, name, rawRemedy)
	case name == Stdin:
		return "standard input has ended and no more readings will come from it; a run can be ended, or resumed with --resume and a port"
	case networked(name):
		return fmt.Sprintf("the connection is lost: check the network and the serial server; it is resumed automatically (%s)", name)
	}
	return fmt.Sprintf("the adapter is gone: plug it in again; the line is resumed automatically (%s)", name)
}

func refusedWords(err error) string {
	words := err.Error()
	if h := Hint(err); h != "" {
		words += ": " + h
	}
	return words
}

// event is what happens to a line.
type event uint8

const (
	opened  event = iota // the port is open
	refused              // an attempt to open it failed
	read                 // a reading came
	silence              // no reading for the quiet time
	broke                // the port went away
)

// step is the state of the link after an event. Every pair has an answer; those
// that cannot happen leave the state as it is.
func step(s meter.Link, e event) meter.Link {
	switch {
	case e == opened && (s == meter.Closed || s == meter.Lost):
		return meter.Opening
	case e == refused && (s == meter.Closed || s == meter.Opening), e == broke && s != meter.Closed:
		return meter.Lost
	case e == read && (s == meter.Opening || s == meter.Quiet):
		return meter.Live
	case e == silence && (s == meter.Opening || s == meter.Live):
		return meter.Quiet
	}
	return s
}
