package serial

import (
	"context"
	"errors"
	"io"
	"net"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter"
)

// bridge is a serial server on this machine: whoever connects gets what the
// meter sends.
type bridge struct {
	t     *testing.T
	addr  string
	mu    sync.Mutex
	l     net.Listener
	conns []net.Conn
	asked chan string
}

func newBridge(t *testing.T) *bridge {
	b := &bridge{t: t, addr: "127.0.0.1:0", asked: make(chan string, 100)}
	b.up()
	t.Cleanup(b.down)
	return b
}

func (b *bridge) name() string { return "tcp://" + b.addr }

// up switches the server on, under the address that it had.
func (b *bridge) up() {
	b.t.Helper()
	l, err := net.Listen("tcp", b.addr)
	require.NoError(b.t, err)
	b.mu.Lock()
	b.l, b.addr = l, l.Addr().String()
	b.mu.Unlock()
	go func() {
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
	}()
}

func (b *bridge) listen(c net.Conn) {
	buf := make([]byte, 256)
	for {
		n, err := c.Read(buf)
		if err != nil {
			return
		}
		b.asked <- string(buf[:n])
	}
}

// down switches it off: connections end, and new ones are refused.
func (b *bridge) down() {
	b.mu.Lock()
	defer b.mu.Unlock()
	_ = b.l.Close()
	for _, c := range b.conns {
		_ = c.Close()
	}
	b.conns = nil
}

// send sends to whoever is connected.
func (b *bridge) send(s string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, c := range b.conns {
		_, _ = io.WriteString(c, s)
	}
}

// stream sends a line every few milliseconds until the test has what it wants.
func (b *bridge) stream(line string) (halt func()) {
	stop, done := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(done)
		for {
			select {
			case <-stop:
				return
			case <-time.After(10 * time.Millisecond):
				b.send(line)
			}
		}
	}()
	return sync.OnceFunc(func() { close(stop); <-done })
}

// heard waits for a report that fits, however long this machine takes.
func heard(t *testing.T, reports chan meter.Report, what string, fits func(meter.Report) bool) meter.Report {
	t.Helper()
	limit := time.After(time.Minute)
	for {
		select {
		case r := <-reports:
			if fits(r) {
				return r
			}
		case <-limit:
			require.FailNow(t, "did not come: "+what)
		}
	}
}

func linked(l meter.Link) func(meter.Report) bool {
	return func(r meter.Report) bool { return r.Kind == meter.GotLink && r.Link == l }
}

func aReading(r meter.Report) bool { return r.Kind == meter.GotReading }

// Over a network as over a serial line: live, cut, refused, back, stalled, back.
func TestNetworkCutStallAndBack(t *testing.T) {
	b := newBridge(t)
	s, err := Open(Config{Name: b.name(), Retry: 20 * time.Millisecond, Quiet: 300 * time.Millisecond})
	require.NoError(t, err)
	assert.Equal(t, b.name(), s.String())
	reports, end := runs(t, s)
	defer end()
	halt := b.stream("pH 7.021 25.1 C\r\n")
	heard(t, reports, "opening", linked(meter.Opening))
	heard(t, reports, "live", linked(meter.Live))
	assert.Equal(t, 7.021, heard(t, reports, "a reading", aReading).Reading.Value)
	for range 3 {
		b.down()
		lost := heard(t, reports, "lost", linked(meter.Lost))
		assert.Contains(t, lost.Text, "the connection is gone: look at the network")
		assert.Contains(t, lost.Text, b.name())
		assert.Error(t, lost.Err)
		time.Sleep(50 * time.Millisecond) // refused meanwhile
		b.up()
		heard(t, reports, "live again", linked(meter.Live))
		heard(t, reports, "a reading again", aReading)
	}
	halt()
	quiet := heard(t, reports, "quiet", linked(meter.Quiet))
	assert.Contains(t, quiet.Text, "nothing comes over the network")
	halt = b.stream("pH 7.021 25.1 C\r\n")
	defer halt()
	heard(t, reports, "live after the stall", linked(meter.Live))
	assert.EqualValues(t, 3, s.Health().Reopened)
}

func contextOf(t *testing.T) (context.Context, func()) {
	ctx, cancel := context.WithCancel(context.Background())
	t.Cleanup(cancel)
	return ctx, cancel
}

// runs runs a source; end stops it and demands that it obeys.
func runs(t *testing.T, s *Source) (chan meter.Report, func()) {
	reports := make(chan meter.Report, 1000)
	ctx, cancel := contextOf(t)
	done := make(chan error, 1)
	go func() { done <- s.Run(ctx, reports) }()
	return reports, func() {
		cancel()
		select {
		case <-done:
		case <-time.After(time.Minute):
			t.Error("Run does not end")
		}
	}
}

func TestNetworkIsAsked(t *testing.T) {
	b := newBridge(t)
	s, err := Open(Config{Name: "socket://" + b.addr, Query: "?\r\n", Interval: 50 * time.Millisecond})
	require.NoError(t, err)
	reports, end := runs(t, s)
	defer end()
	assert.Contains(t, <-b.asked, "?\r\n")
	b.send("7.02 pH\r\n")
	assert.Equal(t, 7.02, heard(t, reports, "an answer", aReading).Reading.Value)
}

// What is refused when it is opened, with the words and what to try.
func TestNetworkRefused(t *testing.T) {
	b := newBridge(t)
	b.down()
	_, err := Open(Config{Name: b.name()})
	require.ErrorIs(t, err, meter.ErrNoPort)
	assert.ErrorContains(t, err, "the connection is refused")
	assert.Contains(t, Hint(err), "is nobody else connected?")
	for name, says := range map[string]string{
		"rfc2217://10.0.0.7:4001":    "RFC 2217 is not spoken",
		"telnet://10.0.0.7":          "RFC 2217 is not spoken",
		"http://10.0.0.7:80":         "http:// is not known; tcp://HOST:PORT and socket://HOST:PORT are",
		"tcp://10.0.0.7":             "HOST:PORT and nothing else is wanted",
		"tcp://:4001":                "HOST:PORT and nothing else is wanted",
		"tcp://10.0.0.7:4001/dev/x":  "HOST:PORT and nothing else is wanted",
		"tcp://10.0.0.7:4001?log=on": "HOST:PORT and nothing else is wanted",
		"tcp://me@10.0.0.7:4001":     "HOST:PORT and nothing else is wanted",
		"tcp://10.0.0.7:port":        "is no address such as",
	} {
		_, err := Open(Config{Name: name})
		assert.ErrorContains(t, err, says, name)
	}
	_, err = Open(Config{Name: "rfc2217://10.0.0.7:4001"})
	assert.Contains(t, Hint(err), "raw TCP")
}

// A Telnet server is told from a meter, and not asked again all the time.
func TestTelnetServer(t *testing.T) {
	b := newBridge(t)
	s, err := Open(Config{Name: b.name(), Retry: 10 * time.Millisecond})
	require.NoError(t, err)
	reports, end := runs(t, s)
	defer end()
	heard(t, reports, "opening", linked(meter.Opening))
	halt := b.stream("\xff\xfb\x01\xff\xfb\x03\xff\xfd\x00")
	defer halt()
	lost := heard(t, reports, "lost", linked(meter.Lost))
	assert.Contains(t, lost.Text, "speaks Telnet")
	assert.Contains(t, lost.Text, "raw TCP")
}

// A server that accepts and hangs up is tried more and more seldom.
func TestServerThatHangsUp(t *testing.T) {
	s := &talk{Source: &Source{cfg: Config{Retry: time.Millisecond}}}
	ctx, cancel := contextOf(t)
	cancel()
	s.ctx = ctx
	var rests []time.Duration
	for range 20 {
		s.slacken()
		rests = append(rests, s.rest)
	}
	assert.Equal(t, 2*time.Millisecond, rests[1])
	assert.Equal(t, longestRest, rests[19])
	s.heard = true
	s.slacken()
	assert.Zero(t, s.rest)
}

// Lines on standard input: all of them, also the first, and the end is said.
func TestPipe(t *testing.T) {
	ended := make(chan struct{})
	p := newPipe(strings.NewReader("7.02 pH\n7.03 pH\n"), ended)
	opens := 0
	s, err := open(Config{Name: Stdin, Retry: 10 * time.Millisecond}, func(c Config) (port, error) {
		if opens++; opens > 1 {
			return nil, &OpenError{Name: c.Name, Kind: meter.ErrNoPort, Cause: errInputEnded}
		}
		return p, nil
	}, func() ([]Info, error) { return nil, nil })
	require.NoError(t, err)
	assert.Equal(t, "standard input", s.String())
	reports, end := runs(t, s)
	defer end()
	assert.Equal(t, 7.02, heard(t, reports, "the first line", aReading).Reading.Value)
	assert.Equal(t, 7.03, heard(t, reports, "the second line", aReading).Reading.Value)
	lost := heard(t, reports, "the end", linked(meter.Lost))
	assert.Contains(t, lost.Text, "standard input has ended")
	assert.ErrorIs(t, lost.Err, errInputEnded)
	<-ended
	_, err = p.Write([]byte("?"))
	assert.Error(t, err)
}

func TestPipeThatWaits(t *testing.T) {
	r, w := io.Pipe()
	defer w.Close()
	p := newPipe(r, make(chan struct{}))
	n, err := p.Read(make([]byte, 10))
	assert.Zero(t, n)
	assert.NoError(t, err, "a wait without a byte is no error")
	require.NoError(t, p.Close())
	_, err = p.Read(make([]byte, 10))
	assert.True(t, errors.Is(err, io.EOF) || err != nil)
}
