package serial

import (
	"context"
	"errors"
	"slices"
	"strings"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter"
)

func TestPartialFirstLine(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.send("02\r\npH 7.0", "3\r\n", "pH 7.04\r\npH 7.05\r\n")
		assert.Equal(t, []string{"opening", "bad 02", "live", "7.030", "7.040", "7.050"}, b.states())
		b.end()
	})
}

func TestReadingCarriesItsTimeAndLine(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.wait(700 * time.Millisecond)
		at := time.Now()
		b.send("pH 7.021 25.1 C\r\n")
		assert.Contains(t, (<-b.reports).Text, "waiting for a reading")
		assert.Equal(t, meter.Live, (<-b.reports).Link)
		r := <-b.reports
		assert.Equal(t, at, r.Reading.At)
		assert.Equal(t, "pH 7.021 25.1 C", r.Reading.Raw)
		assert.Equal(t, 3, r.Reading.Decimals)
		b.end()
	})
}

func TestQuietWithinThreeSeconds(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.send("\n7.02\n")
		b.wait(500 * time.Millisecond)
		b.send("7.02\n")
		b.got()
		last := time.Now()
		for b.wait(50 * time.Millisecond); ; b.wait(50 * time.Millisecond) {
			if got := b.states(); len(got) > 0 {
				assert.Equal(t, []string{"quiet"}, got)
				break
			}
		}
		assert.Less(t, time.Since(last), 3*time.Second)
		b.wait(10 * time.Second)
		assert.Empty(t, b.got(), "quiet is said once")
		b.send("7.03\n")
		assert.Equal(t, []string{"live", "7.030"}, b.states())
		b.end()
	})
}

// The words about a line without readings, by what came.
// A meter that sends each 5 s is not silent between two readings, once that is known,
// and is within 9 s of the last one when it is. One that came back after a pause
// sends no seldomer for that.
func TestSeldomIsNotQuiet(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.send("\n7.02\n")
		for range 2 {
			b.wait(5 * time.Second)
			b.send("7.02\n")
		}
		b.states()
		for range 4 {
			b.wait(5 * time.Second)
			b.send("7.02\n")
			assert.Equal(t, []string{"7.020"}, b.states())
		}
		b.wait(7 * time.Second)
		assert.Empty(t, b.states())
		b.wait(2 * time.Second)
		assert.Equal(t, []string{"quiet"}, b.states())
		b.end()
	})
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.send("\n7.02\n", "7.02\n")
		b.wait(15 * time.Second)
		b.send("7.03\n")
		b.states()
		b.wait(3 * time.Second)
		assert.Equal(t, []string{"quiet"}, b.states())
		b.end()
	})
}

// Nobody knows at first how seldom a meter sends: one that prints each five seconds was said
// to be silent twice in its first twelve. A line from which nothing at all comes is said to
// be silent within seven seconds, and one that comes over the wrong speed within three.
func TestTheFirstLinesOfASeldomMeter(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.wait(4900 * time.Millisecond)
		b.send("\n7.02\n")
		for range 4 {
			b.wait(5 * time.Second)
			b.send("7.02\n")
		}
		assert.NotContains(t, b.states(), "quiet")
		b.end()
	})
	for text, soon := range map[string]bool{"": false, "\xf8\x00\x80\xe6\x00\x98\x00\x1e\xfe\x00\x80": true} {
		synctest.Test(t, func(t *testing.T) {
			b := newBench(t, Config{})
			b.run()
			b.send(text)
			b.wait(3 * time.Second)
			assert.Equal(t, soon, slices.Contains(b.states(), "quiet"))
			b.wait(4 * time.Second)
			assert.Equal(t, !soon, slices.Contains(b.states(), "quiet"))
			b.end()
		})
	}
}

// A line that is held as a jump until the next one confirms it is a sign of life: at five
// seconds a line, the drops of an order were "no reading" until the line after the next.
func TestAHeldLineIsNoSilence(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.send("\n2.24\n")
		for _, line := range []string{"2.24\n", "2.24\n", "7.99\n"} {
			b.wait(5 * time.Second)
			b.send(line)
		}
		b.states()
		b.wait(4900 * time.Millisecond)
		assert.Empty(t, b.states(), "9.9 s after the last reading, 4.9 s after the held one")
		b.send("8.01\n")
		assert.Equal(t, []string{"7.990", "8.010"}, b.states())
		b.send("2.10\n")
		b.wait(9 * time.Second)
		assert.Equal(t, []string{"bad 2.10", "quiet"}, b.states(), "and then it is silent")
		b.end()
	})
}

func TestQuietWords(t *testing.T) {
	for name, tt := range map[string]struct {
		cfg  Config
		send []string
		want string
	}{
		"nothing":       {Config{}, nil, "nothing arrives from the meter"},
		"wrong speed":   {Config{}, []string{"\xf8\x00\x80\xe6\x00\x98\x00\x1e\xfe\x00\x80"}, "not set to 9600 8N1. Try --port auto"},
		"other lines":   {Config{}, []string{"\nhello\n", "world\n"}, "no reading: “hello”, \"hello\" is not known; if it is a reading"},
		"no terminator": {Config{}, []string{"7.02 7.02 7.02"}, "no line ends"},
		"no answer":     {Config{Query: "?\r"}, nil, "does not answer"},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				b := newBench(t, tt.cfg)
				b.run()
				b.wait(500 * time.Millisecond)
				b.send(tt.send...)
				b.wait(6 * time.Second)
				got := b.got()
				assert.Contains(t, got[len(got)-1], "quiet: ")
				assert.Contains(t, got[len(got)-1], tt.want)
				b.end()
			})
		})
	}
}

func TestQueryIsAskedAndItsEchoDropped(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{Query: "READ?\r\n", Interval: time.Second})
		b.run()
		b.wait(600 * time.Millisecond)
		assert.Equal(t, []string{"READ?\r\n"}, b.port.wrote)
		b.send("READ?\r\n", "7.02\r\n", "READ? 7.03\r\n")
		assert.Equal(t, []string{"opening", "bad READ?", "live", "7.020", "7.030"}, b.states(), "the echo is said once")
		b.wait(4 * time.Second)
		assert.Len(t, b.port.wrote, 5)
		b.end()
	})
}

func TestBadLines(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.send("\n7.02\n", "7.0\n", "hello\n", "14.02\n", "7.\xff3\n", "25.1\n", "nan\n", "7.03\n")
		assert.Equal(t, []string{"opening", "live", "7.020", "bad 7.0", "bad hello", "bad 14.02", `bad 7.\xff3`,
			"bad 25.1", "bad nan", "7.030"}, b.states())
		assert.EqualValues(t, 6, b.s.Health().Bad)
		b.end()
	})
}

func TestBadLinesAreHeldBackWhenTooMany(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.send("\n")
		for i := range 100 { // no two alike but for their digits
			b.send(strings.Repeat("x", 1+i) + "\n")
		}
		assert.Len(t, b.got(), 1+badPerSecond)
		assert.EqualValues(t, 90, b.s.Health().Held)
		b.end()
	})
}

func TestLineThatBreaksOff(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.send("\n7.03\n7.")
		b.wait(1500 * time.Millisecond)
		b.send("02\n7.04\n")
		assert.Equal(t, []string{"opening", "live", "7.030", "bad 7.", "7.040"}, b.states())
		b.end()
	})
}

// A receiver that lets it wait must not get old readings with new times.
func TestSlowReceiver(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.reports = make(chan meter.Report)
		b.run()
		<-b.reports // opening
		b.send("\n7.02\n7.03\n7.04\n")
		assert.Equal(t, meter.Live, (<-b.reports).Link)
		b.send("7.05\n7.06\n") // comes while 7.02 waits
		b.wait(2 * time.Second)
		assert.Equal(t, 7.02, (<-b.reports).Reading.Value)
		synctest.Wait()
		b.send("7\n7.08\n")
		assert.Equal(t, 7.08, (<-b.reports).Reading.Value)
		assert.EqualValues(t, 1, b.s.Health().Stale)
		b.end()
	})
}

func TestRunObeysWhileItSends(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.reports = make(chan meter.Report)
		b.run() // blocks on the first report
		b.end()
	})
}

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

func TestConfigRefused(t *testing.T) {
	for name, c := range map[string]Config{
		"no port": {}, "speed": {Name: "p", Baud: 7}, "bits": {Name: "p", Bits: 6}, "stop": {Name: "p", Stop: 3},
		"interval": {Name: "p", Interval: time.Millisecond},
	} {
		_, err := Open(c)
		assert.Error(t, err, name)
		var o *OpenError
		assert.False(t, errors.As(err, &o), name)
	}
}

func TestModes(t *testing.T) {
	var c Config
	assert.Equal(t, "9600 8N1", c.Mode())
	require.NoError(t, c.SetMode("1200 7e2"))
	assert.Equal(t, Config{Baud: 1200, Bits: 7, Parity: Even, Stop: 2}, c)
	assert.Equal(t, "1200 7E2", c.Mode())
	for _, bad := range []string{"", "8N1", "9600 9N1", "9600 8X1", "9600 8N3", "9600 8N"} {
		assert.Error(t, c.SetMode(bad), bad)
	}
	assert.Equal(t, "1200 7E2", c.Mode())
}

func TestQuietWaitsForASlowQuery(t *testing.T) {
	c, err := Config{Name: "p", Query: "?", Interval: 10 * time.Second}.complete()
	require.NoError(t, err)
	assert.Equal(t, 12500*time.Millisecond, c.Quiet)
}

// How seldom a meter may send and not be called silent: the half minute of a meter
// that prints at intervals is one, a minute is none, because nobody at the plate is to
// wait that long to hear that the cable is out.
func TestHowSeldomAMeterMaySend(t *testing.T) {
	for every, quiet := range map[time.Duration]bool{30 * time.Second: false, time.Minute: true} {
		synctest.Test(t, func(t *testing.T) {
			b := newBench(t, Config{})
			b.run()
			b.send("\n7.02\n")
			for range 3 {
				b.wait(every)
				b.send("7.02\n")
			}
			b.states()
			b.wait(every - time.Second)
			if quiet {
				assert.Equal(t, []string{"quiet"}, b.states())
				b.send("7.02\n")
				b.states()
				b.wait(40 * time.Second)
				assert.Equal(t, []string{"quiet"}, b.states(), "within forty seconds of the last reading")
			} else {
				assert.Empty(t, b.states())
			}
			b.end()
		})
	}
}
