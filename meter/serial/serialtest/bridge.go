package serialtest

import (
	"io"
	"net"
	"sync"
	"time"
)

// Bridge is a serial server on this machine's own network: whoever connects
// gets what its meter sends. Its methods may be called from any goroutine.
type Bridge struct {
	Asked chan string // gets what is sent to the meter

	mu    sync.Mutex
	addr  string
	l     net.Listener
	conns []net.Conn
	sent  []string
	halt  func()
}

// NewBridge switches a server on, on a free port.
func NewBridge() (*Bridge, error) {
	b := &Bridge{addr: "127.0.0.1:0", Asked: make(chan string, 100)}
	return b, b.Up()
}

// Addr is its host and port; they stay the same over Down and Up.
func (b *Bridge) Addr() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.addr
}

// Name is the name of its port.
func (b *Bridge) Name() string { return "tcp://" + b.Addr() }

// Up switches the server on again, under the address that it had.
func (b *Bridge) Up() error {
	l, err := net.Listen("tcp", b.Addr())
	if err != nil {
		return err
	}
	b.mu.Lock()
	b.l, b.addr = l, l.Addr().String()
	b.mu.Unlock()
	go b.accept(l)
	return nil
}

func (b *Bridge) accept(l net.Listener) {
	for {
		c, err := l.Accept()
		if err != nil {
			return
		}
		b.mu.Lock()
		b.conns = append(b.conns, c)
		b.mu.Unlock()
		go b.listen(c)
	}
}

func (b *Bridge) listen(c net.Conn) {
	buf := make([]byte, 256)
	for {
		n, err := c.Read(buf)
		if err != nil {
			return
		}
		select {
		case b.Asked <- string(buf[:n]):
		default: // nobody looks
		}
	}
}

// Down switches it off: connections end, and new ones are refused.
func (b *Bridge) Down() {
	b.mu.Lock()
	defer b.mu.Unlock()
	_ = b.l.Close()
	for _, c := range b.conns {
		_ = c.Close()
	}
	b.conns = nil
}

// Send sends to whoever is connected.
func (b *Bridge) Send(s string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.sent = append(b.sent, s)
	for _, c := range b.conns {
		_, _ = io.WriteString(c, s)
	}
}

// Sent is everything that was sent, also what nobody got.
func (b *Bridge) Sent() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return append([]string(nil), b.sent...)
}

// Stream sends what next gives at an interval until Silence or another Stream.
func (b *Bridge) Stream(every time.Duration, next func() string) {
	b.Silence()
	stop, done := make(chan struct{}), make(chan struct{})
	b.mu.Lock()
	b.halt = func() { close(stop); <-done }
	b.mu.Unlock()
	go func() {
		defer close(done)
		tick := time.NewTicker(every)
		defer tick.Stop()
		for {
			b.Send(next())
			select {
			case <-tick.C:
			case <-stop:
				return
			}
		}
	}()
}

// Silence ends the stream.
func (b *Bridge) Silence() {
	b.mu.Lock()
	halt := b.halt
	b.halt = nil
	b.mu.Unlock()
	if halt != nil {
		halt()
	}
}

// Close ends everything.
func (b *Bridge) Close() error {
	b.Silence()
	b.Down()
	return nil
}
