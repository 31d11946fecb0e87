package serial

import (
	"slices"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

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
