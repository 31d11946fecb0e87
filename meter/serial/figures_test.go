package serial

import (
	"fmt"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter"
)

// The figures of judgement of this room, each held by the step at which the answer changes.

func TestLimitsOfADialect(t *testing.T) {
	for text, good := range map[string]bool{
		"baud = 49": false, "baud = 50": true, "baud = 4000000": true, "baud = 4000001": false,
		fmt.Sprintf("name = %q", strings.Repeat("n", 60)):      true,
		fmt.Sprintf("name = %q", strings.Repeat("n", 61)):      false,
		fmt.Sprintf("query = %q", strings.Repeat("q", 100)):    true,
		fmt.Sprintf("query = %q", strings.Repeat("q", 101)):    false,
		fmt.Sprintf("terminator = %q", strings.Repeat(";", 8)): true,
		fmt.Sprintf("terminator = %q", strings.Repeat(";", 9)): false,
		"interval_s = 0.049": false, "interval_s = 0.051": true, "interval_s = 3590": true, "interval_s = 3610": false,
	} {
		err := ParseDialect("x.toml", []byte(text+"\n"), &Config{Name: "port"})
		assert.Equal(t, good, err == nil, "%.40s: %v", text, err)
	}
	for baud, good := range map[int]bool{49: false, 50: true, 4_000_000: true, 4_000_001: false} {
		_, err := Config{Name: "port", Baud: baud}.complete()
		assert.Equal(t, good, err == nil, "%d", baud)
	}
}

// What nobody has said is what most meters do, and what is said has its limits.
func TestWhatNobodyHasSaid(t *testing.T) {
	c, err := Config{Name: "port", Query: "?"}.complete()
	assert.NoError(t, err)
	assert.Equal(t, []time.Duration{3500 * time.Millisecond, 500 * time.Millisecond, time.Second}, []time.Duration{c.Quiet, c.Retry, c.Interval})
	for interval, good := range map[time.Duration]bool{45 * time.Millisecond: false, 55 * time.Millisecond: true} {
		_, err := Config{Name: "port", Query: "?", Interval: interval}.complete()
		assert.Equal(t, good, err == nil, "%v", interval)
	}
}

// A line that breaks at once each time rests for twice as long each time, and for 5 s at most.
func TestALineThatBreaksAtOnceRests(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := &talk{Source: &Source{cfg: Config{Retry: 500 * time.Millisecond}}, ctx: t.Context()}
		var rests []time.Duration
		for range 6 {
			began := time.Now()
			l.slacken()
			rests = append(rests, time.Since(began)/time.Millisecond)
		}
		assert.Equal(t, []time.Duration{500, 1000, 2000, 4000, 5000, 5000}, rests)
		l.heard = true
		l.slacken()
		assert.Zero(t, l.rest)
	})
}

// A wrong speed is known by twelve bytes, of which more than a quarter are no text; to say
// so, four are enough.
func TestWhatAWrongSpeedLooksLike(t *testing.T) {
	bytes := func(n, foreign int) []byte {
		return []byte(strings.Repeat("\x01", foreign) + strings.Repeat("7", n-foreign))
	}
	assert.True(t, garbled(bytes(12, 4)))
	assert.False(t, garbled(bytes(12, 3)))
	assert.False(t, garbled(bytes(11, 4)))
	assert.True(t, garbled(bytes(100, 30)))
	assert.False(t, garbled(bytes(100, 20)))
	for n, foreign := range map[int]int{4: 2, 3: 2, 40: 8, 41: 12} {
		l := &talk{Source: &Source{cfg: Config{Name: "port"}}, noise: bytes(n, foreign)}
		assert.Equal(t, n == 4 || n == 41, strings.HasPrefix(l.quietWords(), "what arrives is not text"), "%d of %d", foreign, n)
	}
}

// A line that was spoilt is well again where two of the last 32 lines are, and no more.
func TestWhenALineIsWellAgain(t *testing.T) {
	for recent, well := range map[uint32]bool{0b101: true, 0b111: false} {
		out := make(chan meter.Report, 1)
		l := &talk{Source: &Source{cfg: Config{Now: time.Now}}, ctx: t.Context(), out: out, recent: recent, spoilt: true}
		l.tellSpoilt(time.Now())
		assert.Equal(t, well, len(out) == 1)
	}
}
