package serial

import (
	"errors"
	"strings"
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
		assert.Len(t, b.got(), 11, "the link, and ten lines a second")
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
