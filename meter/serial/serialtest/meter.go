//go:build unix

package serialtest

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"example.org/halfdrop/meter/serial/tty"
	"github.com/creack/pty"
	"golang.org/x/sys/unix"
)

// Meter is a fake meter. Its methods may be called from any goroutine.
type Meter struct {
	path string

	mu     sync.Mutex
	line   *line // nil while it is unplugged
	answer func(query string) string
	baud   int // that the meter speaks; 0 for any
	sent   []string
	halt   func() // ends the stream; nil without one
}

// line is one pseudo-terminal: what is plugged in at the moment.
type line struct {
	master, slave *os.File
	done          chan struct{} // closed when the reader of queries has ended
}

// Plug plugs a meter in for one test, under a name that stays the same over Cut and
// Restore. The test is skipped where there is no pseudo-terminal.
func Plug(t testing.TB) *Meter {
	t.Helper()
	m := &Meter{path: filepath.Join(t.TempDir(), "ttyFAKE0")}
	if err := m.Restore(); err != nil {
		t.Skipf("NOT RUN: nothing was tried over a serial line, for there is no pseudo-terminal here: %v", err)
	}
	t.Cleanup(func() {
		if err := m.close(); err != nil {
			t.Errorf("the meter was unplugged with %v", err)
		}
	})
	return m
}

// Path is the name of the port.
func (m *Meter) Path() string { return m.path }

// Restore plugs the meter in again, as a new device under the same name.
func (m *Meter) Restore() error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.line != nil {
		return errors.New("serialtest: is plugged in")
	}
	l, err := newLine()
	if err != nil {
		return fmt.Errorf("serialtest: %w", err)
	}
	if err := os.Symlink(l.slave.Name(), m.path); err != nil {
		_ = l.master.Close()
		_ = l.slave.Close()
		return err
	}
	m.line = l
	go m.listen(l)
	return nil
}

// newLine opens a pseudo-terminal without echo, its near end fit for deadlines.
func newLine() (*line, error) {
	near, far, err := pty.Open()
	if err != nil {
		return nil, err
	}
	defer near.Close()
	if err := tty.Silence(int(far.Fd())); err != nil {
		_ = far.Close()
		return nil, err
	}
	fd, err := unix.FcntlInt(near.Fd(), unix.F_DUPFD_CLOEXEC, 0)
	if err == nil {
		err = unix.SetNonblock(fd, true)
	}
	if err != nil {
		_ = far.Close()
		return nil, err
	}
	return &line{master: os.NewFile(uintptr(fd), near.Name()), slave: far, done: make(chan struct{})}, nil
}

// Cut unplugs the meter: the device goes away, and its name.
func (m *Meter) Cut() error {
	m.mu.Lock()
	l := m.line
	m.line = nil
	m.mu.Unlock()
	if l == nil {
		return errUnplugged
	}
	err := errors.Join(os.Remove(m.path), l.master.Close(), l.slave.Close())
	<-l.done
	return err
}

var errUnplugged = errors.New("serialtest: is not plugged in")

// close unplugs it.
func (m *Meter) close() error {
	m.Silence()
	if err := m.Cut(); !errors.Is(err, errUnplugged) {
		return err
	}
	return nil
}

// Send sends bytes as they are. While it is unplugged they are lost.
func (m *Meter) Send(s string) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.sent = append(m.sent, s)
	if m.line == nil {
		return nil
	}
	data := []byte(s)
	if m.baud != 0 {
		if read := speed(int(m.line.slave.Fd())); read != 0 {
			data = Garble(data, m.baud, read)
		}
	}
	// A line that nobody reads fills up; a real one loses what is sent then.
	_ = m.line.master.SetWriteDeadline(time.Now().Add(100 * time.Millisecond))
	if _, err := m.line.master.Write(data); err != nil && !errors.Is(err, os.ErrDeadlineExceeded) {
		return err
	}
	return nil
}

// Sent is everything that Send and Stream sent, in order, also what was lost.
func (m *Meter) Sent() []string {
	m.mu.Lock()
	defer m.mu.Unlock()
	return append([]string(nil), m.sent...)
}

// Stream sends what next gives, its terminator included, at an interval until
// Silence or another Stream. It goes on while the meter is unplugged.
func (m *Meter) Stream(every time.Duration, next func() string) {
	m.Silence()
	stop, done := make(chan struct{}), make(chan struct{})
	m.mu.Lock()
	m.halt = func() { close(stop); <-done }
	m.mu.Unlock()
	go func() {
		defer close(done)
		tick := time.NewTicker(every)
		defer tick.Stop()
		for {
			_ = m.Send(next())
			select {
			case <-tick.C:
			case <-stop:
				return
			}
		}
	}()
}

// Silence ends the stream.
func (m *Meter) Silence() {
	m.mu.Lock()
	halt := m.halt
	m.halt = nil
	m.mu.Unlock()
	if halt != nil {
		halt()
	}
}

// Answer sets what is sent back for a line that comes in; "" is no answer.
func (m *Meter) Answer(f func(query string) string) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.answer = f
}

// Speak makes the meter speak at a speed: a port set to another one gets what a
// receiver would make of it. Only Linux shows the speed of a pseudo-terminal;
// elsewhere Speak changes nothing.
func (m *Meter) Speak(baud int) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.baud = baud
}

// listen answers queries until the line is cut.
func (m *Meter) listen(l *line) {
	defer close(l.done)
	var held string
	buf := make([]byte, 256)
	for {
		n, err := l.master.Read(buf)
		if err != nil {
			return
		}
		held += string(buf[:n])
		for i := strings.IndexAny(held, "\r\n"); i >= 0; i = strings.IndexAny(held, "\r\n") {
			m.reply(l, held[:i])
			held = held[i+1:]
		}
	}
}

// reply answers one query, when the port has the speed of the meter.
func (m *Meter) reply(l *line, query string) {
	m.mu.Lock()
	answer, baud := m.answer, m.baud
	m.mu.Unlock()
	if answer == nil || baud != 0 && speed(int(l.slave.Fd())) != baud {
		return
	}
	if s := answer(query); s != "" {
		_ = m.Send(s)
	}
}
