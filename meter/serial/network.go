package serial

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/url"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"time"

	"example.org/halfdrop/meter"
)

// Stdin is the name of the port that is standard input.
const Stdin = "-"

// networkSchemes are the forms of a name that is no device: raw TCP, under the
// two names that it has in the field.
var networkSchemes = []string{"tcp", "socket"}

// Errors of names that look like a network port and are none. Both come with a remedy.
var (
	errRFC2217 = errors.New("RFC 2217 is not supported")
	errTelnet  = errors.New("what answers speaks Telnet (RFC 854), not raw TCP")
)

// rawRemedy is what to try about a port that is not raw.
const rawRemedy = "set the port of the serial server to raw TCP, with speed and character frame set there, and give tcp://HOST:PORT"

// Waits of a network port (choice).
const (
	dialTime  = 3 * time.Second
	writeTime = time.Second
	// keepAfter, keepEvery and keepTries find out about the other end that went
	// without a word: its power or a cable pulled.
	keepAfter, keepEvery, keepTries = 5 * time.Second, 3 * time.Second, 3
)

// networked reports whether the name is that of a port on a network, and not of a device.
func networked(name string) bool { return strings.Index(name, "://") > 0 }

// address is host and port of a network name.
func address(name string) (string, error) {
	u, err := url.Parse(name)
	switch {
	case err != nil:
		return "", fmt.Errorf("serial: %q is not an address such as tcp://10.0.0.7:4001", name)
	case u.Scheme == "rfc2217" || u.Scheme == "telnet":
		return "", &OpenError{Name: name, Kind: errRFC2217, Remedy: rawRemedy, Cause: errRFC2217}
	case !slices.Contains(networkSchemes, u.Scheme):
		return "", fmt.Errorf("serial: %q: %s:// is not known; tcp://HOST:PORT and socket://HOST:PORT are", name, u.Scheme)
	case u.Hostname() == "":
		return "", fmt.Errorf("serial: %q: the host is missing, as in tcp://10.0.0.7:4001", name)
	case u.Port() == "":
		return "", fmt.Errorf("serial: %q: the port is missing, as in %s://%s:4001", name, u.Scheme, u.Host)
	case !portNumber(u.Port()):
		return "", fmt.Errorf("serial: %q: %s is not a port of a network; they go from 1 to 65535", name, u.Port())
	case strings.Trim(u.Path, "/") != "" || u.RawQuery != "" || u.User != nil || u.Fragment != "":
		return "", fmt.Errorf("serial: %q: only HOST:PORT may follow %s://", name, u.Scheme)
	}
	return u.Host, nil
}

// portNumber reports whether a number is that of a port of TCP (RFC 9293, section 3.1:
// 16 bits; 0 is none).
func portNumber(text string) bool {
	n, err := strconv.ParseUint(text, 10, 16)
	return err == nil && n > 0
}

// openTCP connects to a serial server, or a bridge, that hands on what the meter
// sends. Speed and character frame are set there.
func openTCP(c Config) (port, error) {
	addr, err := address(c.Name)
	if err != nil {
		return nil, err
	}
	d := net.Dialer{Timeout: dialTime, KeepAliveConfig: net.KeepAliveConfig{Enable: true, Idle: keepAfter, Interval: keepEvery, Count: keepTries}}
	ctx := c.ctx
	if ctx == nil {
		ctx = context.Background()
	}
	conn, err := d.DialContext(ctx, "tcp", addr)
	if err != nil {
		return nil, dialError(c.Name, err)
	}
	return &tcpPort{conn: conn}, nil
}

// dialError sorts what the system said about a connection.
func dialError(name string, err error) *OpenError {
	e := &OpenError{Name: name, Kind: err, Cause: err}
	var dns *net.DNSError
	var timeout net.Error
	switch {
	case errors.As(err, &dns):
		e.Kind = fmt.Errorf("%w: no host called %s", meter.ErrNoPort, dns.Name)
		e.Remedy = "check the name, or give its numeric address"
	case errors.Is(err, syscall.ECONNREFUSED):
		e.Kind = fmt.Errorf("%w: the connection is refused", meter.ErrNoPort)
		e.Remedy = "is the serial server on, is it the right port, and is nobody else connected? Many serve only one at a time"
	case errors.As(err, &timeout) && timeout.Timeout(), errors.Is(err, syscall.EHOSTUNREACH), errors.Is(err, syscall.ENETUNREACH):
		e.Kind = fmt.Errorf("%w: nothing answers at this address", meter.ErrNoPort)
		e.Remedy = "check the network, the cable and the power of the serial server"
	}
	return e
}

// tcpPort is a connection in the manner of a port.
type tcpPort struct {
	conn net.Conn
	once sync.Once
	err  error
	seen bool // something has come
}

// Read returns 0, nil after readTimeout without a byte.
func (p *tcpPort) Read(b []byte) (int, error) {
	if err := p.conn.SetReadDeadline(time.Now().Add(readTimeout)); err != nil {
		return 0, err
	}
	n, err := p.conn.Read(b)
	var timeout net.Error
	switch {
	case errors.As(err, &timeout) && timeout.Timeout():
		err = nil
	case errors.Is(err, io.EOF):
		err = fmt.Errorf("serial: the other end has closed the connection: %w", err)
	}
	// A Telnet server begins with IAC and WILL, WONT, DO or DONT; no line does.
	if !p.seen && n > 1 && b[0] == 0xff && b[1] >= 0xfb {
		return 0, errTelnet
	}
	p.seen = p.seen || n > 0
	return n, err
}

func (p *tcpPort) Write(b []byte) (int, error) {
	if err := p.conn.SetWriteDeadline(time.Now().Add(writeTime)); err != nil {
		return 0, err
	}
	return p.conn.Write(b)
}

// setMode does nothing: speed and character frame are set at the server.
func (p *tcpPort) setMode(Config) error { return nil }

// flushInput throws away what has come so far.
func (p *tcpPort) flushInput() error {
	b := make([]byte, 4096)
	for range 256 {
		if err := p.conn.SetReadDeadline(time.Now().Add(time.Millisecond)); err != nil {
			return err
		}
		n, err := p.conn.Read(b)
		if n == 0 || err != nil {
			return nil
		}
	}
	return nil
}

func (p *tcpPort) flushOutput() error { return nil }

// present is true: a connection that is gone shows when it is read.
func (p *tcpPort) present() bool { return true }

// Close closes once and makes a waiting Read return.
func (p *tcpPort) Close() error {
	p.once.Do(func() { p.err = p.conn.Close() })
	return p.err
}

// errInputEnded is the end of standard input.
var errInputEnded = errors.New("serial: standard input has ended")

// stdin is standard input, which can be opened once.
var stdin = struct {
	mu    sync.Mutex
	taken bool
	ended chan struct{}
}{ended: make(chan struct{})}

// InputEnded is closed when all of standard input has been read as the lines of
// a meter, and all that came of it has been reported.
func InputEnded() <-chan struct{} { return stdin.ended }

// openStdin reads lines from standard input.
func openStdin(c Config) (port, error) {
	stdin.mu.Lock()
	defer stdin.mu.Unlock()
	if stdin.taken {
		return nil, &OpenError{Name: c.Name, Kind: fmt.Errorf("%w: standard input has ended", meter.ErrNoPort),
			Remedy: "end the run; --resume and a port continue it", Cause: errInputEnded}
	}
	stdin.taken = true
	return newPipe(os.Stdin, stdin.ended), nil
}

// pipe is a stream that somebody writes lines to, in the manner of a port. The
// goroutine that reads it can be waiting when the pipe is closed; it ends with
// the next byte, or with the program.
type pipe struct {
	in     chan []byte
	closed chan struct{}
	once   sync.Once
	held   []byte
	ended  chan struct{} // closed when all has been read and reported
	last   sync.Once
}

func newPipe(r io.Reader, ended chan struct{}) *pipe {
	p := &pipe{in: make(chan []byte), closed: make(chan struct{}), ended: ended}
	go func() {
		defer close(p.in)
		for {
			b := make([]byte, 4096)
			n, err := r.Read(b)
			if n > 0 {
				select {
				case p.in <- b[:n]:
				case <-p.closed:
					return
				}
			}
			if err != nil {
				return
			}
		}
	}()
	return p
}

// Read returns 0, nil after readTimeout without a byte.
func (p *pipe) Read(b []byte) (int, error) {
	if len(p.held) == 0 {
		timer := time.NewTimer(readTimeout)
		defer timer.Stop()
		var open bool
		select {
		case <-p.closed:
			return 0, os.ErrClosed
		case <-timer.C:
			return 0, nil
		case p.held, open = <-p.in:
			if !open {
				return 0, errInputEnded
			}
		}
	}
	n := copy(b, p.held)
	p.held = p.held[n:]
	return n, nil
}

// Write is refused: nobody listens.
func (p *pipe) Write(b []byte) (int, error) {
	return 0, errors.New("serial: standard input cannot be asked; leave the query out")
}

func (p *pipe) setMode(Config) error { return nil }
func (p *pipe) flushInput() error    { return nil } // what was written before is meant to be read
func (p *pipe) flushOutput() error   { return nil }
func (p *pipe) present() bool        { return true }

func (p *pipe) Close() error {
	p.once.Do(func() { close(p.closed) })
	return nil
}
