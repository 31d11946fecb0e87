package serial

import (
	"context"
	"fmt"
	"io"
	"strings"
	"sync"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter"
)

// fakePort is a port whose bytes the test gives. It lives in a synctest bubble.
type fakePort struct {
	in      chan string
	closed  chan struct{}
	once    sync.Once
	mu      sync.Mutex
	wrote   []string
	flushed int
	gone    bool
	mode    Config
	answers func(mode Config, query string) string // nil for a meter that answers nothing
}

func newFakePort() *fakePort {
	return &fakePort{in: make(chan string, 1000), closed: make(chan struct{})}
}

func (p *fakePort) Read(b []byte) (int, error) {
	select {
	case s := <-p.in:
		return copy(b, s), nil
	case <-p.closed:
		return 0, io.EOF
	case <-time.After(readTimeout):
		return 0, nil
	}
}

func (p *fakePort) Write(b []byte) (int, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.wrote = append(p.wrote, string(b))
	if p.answers != nil {
		if s := p.answers(p.mode, string(b)); s != "" {
			p.in <- s
		}
	}
	return len(b), nil
}

func (p *fakePort) Close() error {
	p.once.Do(func() { close(p.closed) })
	return nil
}

func (p *fakePort) flushInput() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.flushed++
	for {
		select {
		case <-p.in:
		default:
			return nil
		}
	}
}

func (p *fakePort) flushOutput() error { return nil }

func (p *fakePort) setMode(c Config) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.mode = c
	return nil
}

func (p *fakePort) present() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return !p.gone
}

// bench is a Source on fake ports, run in a bubble.
type bench struct {
	t       *testing.T
	s       *Source
	port    *fakePort
	reports chan meter.Report
	cancel  func()
	done    chan error
	// what opening a name gives from now on
	mu    sync.Mutex
	ports map[string]*fakePort
	deny  error
	known []Info
}

func newBench(t *testing.T, c Config) *bench {
	b := &bench{t: t, port: newFakePort(), reports: make(chan meter.Report, 10000), done: make(chan error, 1)}
	def(&c.Name, "port0")
	b.ports = map[string]*fakePort{c.Name: b.port}
	b.known = []Info{{Name: c.Name, USB: true, VID: "1A2B", PID: "0001", Serial: "7"}}
	var err error
	b.s, err = open(c, b.open, b.list)
	require.NoError(t, err)
	return b
}

func (b *bench) open(c Config) (port, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.deny != nil {
		return nil, openError(c.Name, b.deny)
	}
	if p := b.ports[c.Name]; p != nil {
		return p, nil
	}
	return nil, openError(c.Name, syscall.ENOENT)
}

func (b *bench) list() ([]Info, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.known, nil
}

func (b *bench) run() {
	ctx, cancel := context.WithCancel(context.Background())
	b.cancel = cancel
	go func() { b.done <- b.s.Run(ctx, b.reports) }()
	synctest.Wait()
}

// end ends the run and demands that it does so without any time passing.
func (b *bench) end() {
	before := time.Now()
	b.cancel()
	assert.ErrorIs(b.t, <-b.done, context.Canceled)
	assert.Equal(b.t, before, time.Now(), "Run must end at once")
	<-b.port.closed
}

// send gives bytes to the port; wait lets time pass.
func (b *bench) send(s ...string) {
	for _, s := range s {
		b.port.in <- s
	}
	synctest.Wait()
}

func (b *bench) wait(d time.Duration) {
	time.Sleep(d)
	synctest.Wait()
}

// got is what was reported since the last call, in short.
func (b *bench) got() (out []string) {
	for {
		select {
		case r := <-b.reports:
			switch r.Kind {
			case meter.GotReading:
				out = append(out, fmt.Sprintf("%.3f", r.Reading.Value))
			case meter.GotBadLine:
				assert.Error(b.t, r.Err)
				out = append(out, "bad "+r.Text)
			case meter.GotLink:
				out = append(out, r.Link.String()+": "+r.Text)
			}
		default:
			return out
		}
	}
}

// states is got with the words of the link left out.
func (b *bench) states() (out []string) {
	for _, s := range b.got() {
		state, _, _ := strings.Cut(s, ":")
		out = append(out, state)
	}
	return out
}
