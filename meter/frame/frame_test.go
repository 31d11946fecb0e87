package frame_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/guard"
)

// same compares numbers of which NaN stands for "none".
func same(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }

// says reports whether a reading says what the capture holds.
func (c capture) says(r meter.Reading) bool { return c.saysValue(r) && same(c.temp, temp(r)) }

func (c capture) saysValue(r meter.Reading) bool {
	if r.Quantity == meter.Millivolt {
		return same(c.mv, r.Value) && math.IsNaN(c.ph)
	}
	return same(c.ph, r.Value)
}

// harmless reports whether a reading says nothing false: at most the
// temperature is missing.
// A line that leaves numbers without a name is not believed alone: a guard
// wants it again.
func (c capture) harmless(r meter.Reading) bool {
	return c.says(r) || r.Flags.Has(meter.Unnamed) && c.flags&meter.Unnamed == 0 || c.saysValue(r) && !r.HasTemp
}

func temp(r meter.Reading) float64 {
	if r.HasTemp {
		return r.TempC
	}
	return none
}

func TestCaptures(t *testing.T) {
	for _, c := range captures {
		t.Run(fmt.Sprintf("%q", c.bytes), func(t *testing.T) {
			r, n, err := scan([]byte(c.bytes))
			require.NoError(t, err)
			require.Positive(t, n)
			got := r.Reading
			assert.True(t, c.says(got), "%+v", got)
			assert.Equal(t, c.decimals, got.Decimals)
			assert.Equal(t, c.flags, got.Flags)
			if !math.IsNaN(c.ph) && !math.IsNaN(c.mv) {
				assert.True(t, got.HasMV)
				assert.Equal(t, c.mv, got.MV)
			}
			// What is left of the terminator is no line.
			_, m, err := scan([]byte(c.bytes[n:]))
			assert.Equal(t, len(c.bytes), n+m)
			if m > 0 {
				assert.ErrorIs(t, err, errBlank)
			}
		})
	}
}

// A line without its terminator is never a reading, wherever it is cut.
func TestEveryPrefixIsIncomplete(t *testing.T) {
	for _, c := range captures {
		end, _, _ := cut(c.bytes)
		if strings.HasPrefix(c.bytes, "\x02") {
			end-- // it ends with its ETX
		}
		for i := range end {
			_, n, err := scan([]byte(c.bytes[:i+1]))
			assert.Zero(t, n, "%q", c.bytes[:i+1])
			assert.NoError(t, err)
		}
	}
}

func cut(s string) (end, n int, line []byte) {
	line, n = frame.Cut([]byte(s), "")
	return len(line), n, line
}

// A line that lost its tail and ran into the next one never gives a value that
// neither of the two holds.
func TestEveryPrefixGluedToItsLine(t *testing.T) {
	for _, c := range captures {
		end, _, _ := cut(c.bytes)
		for i := range end + 1 {
			glued := c.bytes[:i] + c.bytes
			r, _, err := scan([]byte(glued))
			assert.True(t, err != nil || c.harmless(r.Reading), "%q read as %+v", glued, r.Reading)
		}
	}
}

// Two lines run together, the second of another shape and with other numbers.
func TestTwoLinesGlued(t *testing.T) {
	for _, a := range captures {
		for _, b := range captures {
			end, _, _ := cut(a.bytes)
			glued := a.bytes[:end] + b.bytes
			r, _, err := scan([]byte(glued))
			assert.True(t, err != nil || a.saysValue(r.Reading) || b.saysValue(r.Reading) || r.Reading.Flags.Has(meter.Unnamed), "%q read as %+v", glued, r.Reading)
		}
	}
}

// Every byte dropped, the line alone and then after two whole ones. What the
// package comment lists as invisible is told apart by what was dropped: a part
// of a number, or what keeps two numbers apart. Everything else must be seen
// or do no harm.
func TestEveryByteDropped(t *testing.T) {
	var seen, harmless, alone, guarded int
	for _, c := range captures {
		end, _, _ := cut(c.bytes)
		whole, _, err := scan([]byte(c.bytes))
		require.NoError(t, err)
		for i := range end {
			line := c.bytes[:i] + c.bytes[i+1:]
			r, _, err := scan([]byte(line))
			switch {
			case err != nil:
				seen++
				continue
			case c.harmless(r.Reading):
				harmless++
				continue
			}
			alone++
			dropped := string(c.bytes[i] & 0x7f)
			assert.NotContains(t, c.bytes, "*", "a checksum must show it: %q", line)
			assert.Contains(t, "0123456789-.,E pH", dropped, "%q read as %+v", line, r.Reading)
			if whole.Reading.Usable() && pass(whole, whole, r) {
				guarded++
				assert.Contains(t, "0123456789-", dropped, "%q read as %+v", line, r.Reading)
			}
		}
	}
	t.Logf("bytes dropped: %d seen, %d harmless, %d not seen on one line, %d of those not by a guard either", seen, harmless, alone, guarded)
}

// pass reports whether a guard that saw the first results, a second apart,
// lets the last one through.
func pass(results ...frame.Result) bool {
	var g guard.Guard
	var err error
	for i, r := range results {
		r.Reading.At = start.Add(time.Duration(i) * time.Second)
		err = g.Check(r)
	}
	return err == nil
}

var start = time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC)

func TestNotReadings(t *testing.T) {
	for _, line := range []string{
		"", "hello", "pH", "7", "pH 7", "7.", ".02", "7.0.2", "7.027.03", "7.02,,25.1", ",7.02", "\t5.1",
		"7.02;25.1,C", "7.0,5.1 7.2", "5.1,7.02", "7.0 5.0", "7.02,-1.2,25.1", "7.02 5.11 pH 8 pH", "7.0", "5.5", "7.020E-03",
		"7.02,25.1", "1.250 7.02", "7.02,-1.2", "7.02,77.2", "20.5,7.02", "1,7.02", "5.24,70.7", "7,02;25,1", "25.1 C", "T 25.1", "pH 7.02 hold", "ERR 7.02", "7.02 V", "7.02 mg/L", "stable unstable 7.02",
		`{"ph":7.02`, `{"ph":7.02}{"ph":7.03}`, `{"ph":7.02,"ph":7.03}`, `{"temp":25.1}`, `{"ph":true}`,
		`{"ph":7.02,"value":7.1,"unit":"pH"}`, "\"7.02,25.1",
		summed("GPHDT,7.02,T")[:17], summed("GPHDT,7.02")[:14], "$XXPHM,7.021,25.1*00", "$XXPHM,7.021,25.1", "$XXPHM,7.021,25.1*5", summed("SDDBT,7.82,4.1")[:19], "$*00", "$",
		"7.\x0002", "7.\xff2", "\xb0C", "7.07.02,5.1", "251,7.02", "7.02+7.03", "2026-11-25", "10:15:03",
	} {
		_, err := spoken(line)
		assert.ErrorIs(t, err, meter.ErrNotReading, "%q", line)
	}
}

func TestImpossible(t *testing.T) {
	for _, line := range []string{
		"25", "25.1", "pH 702.1", "pH NaN", "nan", "--.--", "pH -----", "-173.2", "pH 16.01 25.1 C", "-2.01 pH",
		"-9999.9 mV", `{"ph":99}`, `{"ph":null}`, "9.91E37", "pH 70,2",
	} {
		_, err := spoken(line)
		assert.ErrorIs(t, err, meter.ErrImpossible, "%q", line)
	}
}

func TestAbsurdTemperatureIsFlagged(t *testing.T) {
	for _, line := range []string{"pH 7.02 -127.0 C", "pH 7.02 251 C", `{"ph":7.02,"temp":850}`, "pH 7.02 61 C", "pH 7.02 T -3.0"} {
		r, err := spoken(line)
		require.NoError(t, err, line)
		assert.Equal(t, 7.02, r.Value)
		assert.False(t, r.HasTemp)
		assert.True(t, r.Flags.Has(meter.BadTemp))
	}
}

// A meter without a temperature probe says so by dashes: no fault.
func TestMissingTemperatureIsNoFault(t *testing.T) {
	for _, line := range []string{"pH 7.02 NaN C", "pH 7.02 --.- C", "pH 7.02"} {
		r, err := spoken(line)
		require.NoError(t, err, line)
		assert.Equal(t, 7.02, r.Value)
		assert.False(t, r.HasTemp)
		assert.Zero(t, r.Flags, line)
	}
}

func TestAmbiguous(t *testing.T) {
	for _, line := range []string{"7.02 pH 5.11", "5.11 pH 7.02 25.1 C"} {
		_, err := spoken(line)
		assert.ErrorIs(t, err, frame.ErrAmbiguous, line)
	}
	for _, line := range []string{"5.1,7.02", "7.0 5.0", "7.02 25.1", "2,7.02", "1013.25 25.1", "7.02 -1.2 25.1"} {
		_, err := spoken(line)
		assert.ErrorIs(t, err, frame.ErrUnnamed, line)
	}
}

// A flipped bit on a line of consistent parity is always seen.
func TestParityShowsEveryFlippedBit(t *testing.T) {
	line := even("pH 7.02 25.1 C")
	for i := range line {
		for bit := range 8 {
			b := []byte(line)
			b[i] ^= 1 << bit
			_, err := frame.Read(b)
			assert.ErrorIs(t, err, meter.ErrNotReading, "%q", b)
		}
	}
}

// A changed byte on a line with a checksum is always seen.
func TestChecksumShowsEveryChangedByte(t *testing.T) {
	line := summed("XXPHM,7.021,25.1")
	want, err := spoken(line[:len(line)-2])
	require.NoError(t, err)
	for i := range len(line) - 2 {
		for c := range 256 {
			b := []byte(line[:len(line)-2])
			b[i] = byte(c)
			got, err := frame.Read(b)
			ok := err != nil || got.Reading.Value == want.Value && got.Reading.TempC == want.TempC
			assert.True(t, ok, "%q read as %+v", b, got)
		}
	}
}

func TestOverlongLineIsGivenUpWithItsTail(t *testing.T) {
	var noise []byte
	for len(noise) < 3*frame.MaxLine {
		noise = append(noise, "x7.02 "...)
	}
	buf := append(noise, "7.02\n"...)
	for len(buf) > 0 {
		r, n, err := scan(buf)
		require.Positive(t, n)
		assert.ErrorIs(t, err, frame.ErrTooLong, "%+v", r)
		buf = buf[n:]
	}
	// The same when it comes in pieces.
	var held []byte
	for _, c := range append(noise, "7.02\n7.03\n"...) {
		held = append(held, c)
		r, n, err := scan(held)
		held = held[n:]
		if n > 0 && err == nil {
			assert.Equal(t, 7.03, r.Reading.Value)
		}
	}
	assert.Empty(t, held)
}

func TestNoise(t *testing.T) {
	assert.Zero(t, frame.Noise(nil))
	assert.Zero(t, frame.Noise([]byte("pH 7.02\r\n")))
	assert.Zero(t, frame.Noise([]byte(even("pH 7.02\r\n"))))
	assert.Greater(t, frame.Noise([]byte("\x00\xf8\x80\x00\xe0A\x00")), 0.5)
}

func TestPrintable(t *testing.T) {
	assert.Equal(t, `7.\xff2\x00`, frame.Printable([]byte("7.\xff2\x00")))
	assert.Equal(t, "7.02 25.1°C", frame.Printable([]byte("7.02 25.1\xb0C")))
}
