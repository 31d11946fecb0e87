package serial

import (
	"context"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"example.org/halfdrop/meter"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAdapterBackUnderAnotherName(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.send("\n7.02\n")
		b.states()
		back := newFakePort()
		b.mu.Lock()
		b.ports = map[string]*fakePort{"port1": back, "port2": newFakePort()}
		b.known = []Info{{Name: "port2", USB: true, VID: "1A2B", PID: "0001", Serial: "8"}}
		b.mu.Unlock()
		_ = b.port.Close()
		b.wait(2 * time.Second)
		assert.Equal(t, []string{"lost"}, b.states(), "another adapter of the kind is not taken for it")
		b.mu.Lock()
		b.known = append(b.known, Info{Name: "port1", USB: true, VID: "1A2B", PID: "0001", Serial: "7"})
		b.mu.Unlock()
		b.port = back
		b.wait(time.Second)
		b.send("7.03\n")
		assert.Equal(t, []string{"opening", "live", "7.030"}, b.states())
		assert.Equal(t, "serial port port1", b.s.String())
		b.end()
	})
}

func TestPortTakenByAnotherProgramMeanwhile(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.states()
		b.mu.Lock()
		b.deny = syscall.EBUSY
		b.mu.Unlock()
		_ = b.port.Close()
		b.wait(3 * time.Second)
		got := b.got()
		require.Len(t, got, 2, "the loss and its cause, each said once")
		assert.Contains(t, got[1], "in use by another program: close the other program")
		b.port = newFakePort()
		b.mu.Lock()
		b.deny, b.ports["port0"] = nil, b.port
		b.mu.Unlock()
		b.wait(time.Second)
		b.send("7.02\n")
		assert.Equal(t, []string{"opening", "live", "7.020"}, b.states())
		b.end()
	})
}

func TestDeviceGoneWithoutAnError(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.mu.Lock()
		b.ports = nil
		b.mu.Unlock()
		b.port.mu.Lock()
		b.port.gone = true
		b.port.mu.Unlock()
		b.wait(3 * time.Second)
		assert.Equal(t, []string{"opening", "lost"}, b.states())
		b.cancel()
		before := time.Now()
		assert.ErrorIs(t, <-b.done, context.Canceled)
		assert.Equal(t, before, time.Now())
	})
}

func TestSourceThatIsNeverRunIsClosed(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		require.NoError(t, b.s.Close())
		<-b.port.closed
		require.NoError(t, b.s.Close())
	})
}

// Every state and every event, the ones that cannot meet included.
func TestStep(t *testing.T) {
	const (
		C, O, L, Q, X = meter.Closed, meter.Opening, meter.Live, meter.Quiet, meter.Lost
	)
	want := map[event][5]meter.Link{ // from Closed, Opening, Live, Quiet, Lost
		opened:  {O, O, L, Q, O},
		refused: {X, X, L, Q, X},
		read:    {C, L, L, L, X},
		silence: {C, Q, Q, Q, X},
		broke:   {C, X, X, X, X},
	}
	for e := opened; e <= broke; e++ {
		for i, s := range []meter.Link{C, O, L, Q, X} {
			assert.Equal(t, want[e][i], step(s, e), "%v on event %d", s, e)
		}
	}
}

func TestLines(t *testing.T) {
	at := time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC)
	type bite struct {
		after time.Duration
		bytes string
	}
	for name, tt := range map[string]struct {
		bites []bite
		want  []string
		cut   string
	}{
		"tail of a line first":       {[]bite{{0, "02\r\npH 7.03\r\n"}}, []string{"pH 7.03"}, "02"},
		"a whole line first":         {[]bite{{0, "pH 7.02\r\npH 7.03\r\n"}}, []string{"pH 7.03"}, "pH 7.02"},
		"silent before":              {[]bite{{400 * time.Millisecond, ""}, {0, "pH 7.02\r\n"}}, []string{"pH 7.02"}, ""},
		"a late read is no silence":  {[]bite{{400 * time.Millisecond, "02\r\n"}}, nil, "02"},
		"in pieces":                  {[]bite{{0, "\npH "}, {0, "7.0"}, {0, "3\r"}, {0, "\n"}}, []string{"pH 7.03"}, ""},
		"broken off, rest dropped":   {[]bite{{0, "\n7."}, {1100 * time.Millisecond, "02\n7.03\n"}}, []string{"7.03"}, "7."},
		"broken off, seen by time":   {[]bite{{0, "\n7."}, {1100 * time.Millisecond, ""}, {0, "02\n7.03\n"}}, []string{"7.03"}, "7."},
		"a short pause is none":      {[]bite{{0, "\n7."}, {900 * time.Millisecond, "02\n"}}, []string{"7.02"}, ""},
		"broken off before any line": {[]bite{{0, "7."}, {1100 * time.Millisecond, "02\n7.03\n"}}, []string{"7.03"}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			now := at
			l := newLines("", now)
			var got []string
			var cut string
			for _, b := range tt.bites {
				now = now.Add(b.after)
				whole, c, _ := l.feed(now, []byte(b.bytes))
				for _, line := range whole {
					got = append(got, string(line))
				}
				cut += string(c)
			}
			assert.Equal(t, tt.want, got)
			assert.Equal(t, tt.cut, cut)
		})
	}
}

func TestTerminatorOfADialect(t *testing.T) {
	l := newLines("#", time.Time{})
	whole, _, _ := l.feed(time.Time{}, []byte("x#7.02\r\n#7.03#"))
	assert.Equal(t, [][]byte{[]byte("7.02\r\n"), []byte("7.03")}, whole)
}
