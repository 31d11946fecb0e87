package serial

import (
	"context"
	"errors"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/serial/serialtest"
)

func newBridge(t *testing.T) *serialtest.Bridge {
	b, err := serialtest.NewBridge()
	require.NoError(t, err)
	t.Cleanup(func() { b.Close() })
	return b
}

func always(line string) func() string { return func() string { return line } }

// Over a network as over a serial line: live, cut, refused, back, stalled, back.
func TestNetworkCutStallAndBack(t *testing.T) {
	b := newBridge(t)
	s, err := Open(Config{Name: b.Name(), Retry: 20 * time.Millisecond, Quiet: 300 * time.Millisecond})
	require.NoError(t, err)
	assert.Equal(t, b.Name(), s.String())
	reports, end := runs(t, s)
	defer end()
	b.Stream(10*time.Millisecond, always("pH 7.021 25.1 C\r\n"))
	serialtest.Await(t, reports, "opening", serialtest.Link(meter.Opening))
	serialtest.Await(t, reports, "live", serialtest.Link(meter.Live))
	assert.Equal(t, 7.021, serialtest.Await(t, reports, "a reading", serialtest.Reading).Reading.Value)
	for range 3 {
		b.Down()
		lost := serialtest.Await(t, reports, "lost", serialtest.Link(meter.Lost))
		assert.Contains(t, lost.Text, "the connection is lost: check the network")
		assert.Contains(t, lost.Text, b.Name())
		assert.Error(t, lost.Err)
		time.Sleep(50 * time.Millisecond) // refused meanwhile
		require.NoError(t, b.Up())
		serialtest.Await(t, reports, "live again", serialtest.Link(meter.Live))
		serialtest.Await(t, reports, "a reading again", serialtest.Reading)
	}
	b.Silence()
	quiet := serialtest.Await(t, reports, "quiet", serialtest.Link(meter.Quiet))
	assert.Contains(t, quiet.Text, "nothing arrives over the network")
	b.Stream(10*time.Millisecond, always("pH 7.021 25.1 C\r\n"))
	serialtest.Await(t, reports, "live after the stall", serialtest.Link(meter.Live))
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
	s, err := Open(Config{Name: "socket://" + b.Addr(), Query: "?\r\n", Interval: 50 * time.Millisecond})
	require.NoError(t, err)
	reports, end := runs(t, s)
	defer end()
	assert.Contains(t, <-b.Asked, "?\r\n")
	b.Send("7.02 pH\r\n")
	assert.Equal(t, 7.02, serialtest.Await(t, reports, "an answer", serialtest.Reading).Reading.Value)
}

// What is refused when it is opened, with the words and what to try.
func TestNetworkRefused(t *testing.T) {
	b := newBridge(t)
	b.Down()
	_, err := Open(Config{Name: b.Name()})
	require.ErrorIs(t, err, meter.ErrNoPort)
	assert.ErrorContains(t, err, "the connection is refused")
	assert.Contains(t, Hint(err), "is nobody else connected?")
	for name, says := range map[string]string{
		"rfc2217://10.0.0.7:4001":    "RFC 2217 is not supported",
		"telnet://10.0.0.7":          "RFC 2217 is not supported",
		"http://10.0.0.7:80":         "http:// is not known; tcp://HOST:PORT and socket://HOST:PORT are",
		"tcp://10.0.0.7":             "the port is missing, as in tcp://10.0.0.7:4001",
		"tcp://:4001":                "the host is missing",
		"tcp://10.0.0.7:4001/dev/x":  "HOST:PORT may follow",
		"tcp://10.0.0.7:4001?log=on": "HOST:PORT may follow",
		"tcp://me@10.0.0.7:4001":     "HOST:PORT may follow",
		"tcp://10.0.0.7:port":        "is not an address such as",
		"tcp://10.0.0.7:99999":       "99999 is not a port of a network",
		"tcp://10.0.0.7:0":           "0 is not a port of a network",
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
	s, err := Open(Config{Name: b.Name(), Retry: 10 * time.Millisecond})
	require.NoError(t, err)
	reports, end := runs(t, s)
	defer end()
	serialtest.Await(t, reports, "opening", serialtest.Link(meter.Opening))
	b.Stream(10*time.Millisecond, always("\xff\xfb\x01\xff\xfb\x03\xff\xfd\x00"))
	lost := serialtest.Await(t, reports, "lost", serialtest.Link(meter.Lost))
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
	assert.Equal(t, 7.02, serialtest.Await(t, reports, "the first line", serialtest.Reading).Reading.Value)
	assert.Equal(t, 7.03, serialtest.Await(t, reports, "the second line", serialtest.Reading).Reading.Value)
	lost := serialtest.Await(t, reports, "the end", serialtest.Link(meter.Lost))
	assert.Contains(t, lost.Text, "standard input has ended")
	assert.ErrorIs(t, lost.Err, errInputEnded)
	<-ended
	_, err = p.Write([]byte("?"))
	assert.Error(t, err)
}

// TestEndOfInputIsReportedFirst: who ends the run at the end of the lines has been
// told of the end before. The run ended without, now and then.
func TestEndOfInputIsReportedFirst(t *testing.T) {
	ended := make(chan struct{})
	p := newPipe(strings.NewReader("7.02 pH\n"), ended)
	s, err := open(Config{Name: Stdin, Retry: 10 * time.Millisecond}, func(Config) (port, error) { return p, nil },
		func() ([]Info, error) { return nil, nil })
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	out, done := make(chan meter.Report), make(chan error, 1)
	go func() { done <- s.Run(ctx, out) }()
	for r := range out {
		if r.Kind == meter.GotReading {
			break
		}
	}
	select {
	case <-ended:
		t.Error("the end is on its way, and nobody was told of it")
	case <-time.After(4 * readTimeout):
	}
	for r := range out {
		if r.Kind == meter.GotLink && r.Link == meter.Lost {
			break
		}
	}
	<-ended
	cancel()
	<-done
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
