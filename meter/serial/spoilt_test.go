package serial

import (
	"fmt"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Many damaged lines between the readings are said once, and once that they
// come whole again; a few are no news.
func TestDamagedLinesAreSaidOnceAnEpisode(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.send("\npH 7.02\n")
		b.got()
		bad := 0
		damaged := func() string { // each in another way, as a bad line does it
			bad++
			i := bad % 7
			return ("pH 7.02"[:i] + string("xyzw!"[bad%5]) + "pH 7.02"[i+1:]) + "\n"
		}
		for range 40 {
			b.send("pH 7.02\n", "pH 7.02\n", "pH 7.02\n", "pH 7.02\n", "pH 7.02\n", damaged())
		}
		assert.NotContains(t, linkWords(b.got()), "damaged", "one in six")
		for range 20 {
			b.send("pH 7.02\n", "pH 7.02\n", damaged())
		}
		said := linkWords(b.got())
		require.Len(t, said, 1)
		assert.Contains(t, said[0], "of 32 lines arrive damaged: a loose plug, or another program on the port?")
		for range 60 {
			b.send("pH 7.02\n")
		}
		assert.Equal(t, []string{"live: the lines arrive whole again"}, linkWords(b.got()))
		b.end()
	})
}

// The record that a printer is sent, eight lines around each reading, is no
// damage, and after a while none of its lines is reported.
func TestRecordsOfAPrinterAreNoDamage(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.send("\n")
		for i := range 40 {
			b.send(fmt.Sprintf("----------------\nPRINT %d\n25-Nov-2026\nOperator: 7\n\nSample 12\npH 7.02 25.1 C\nSlope: 98.2 %%\nEnd of record\n", i))
			b.wait(time.Second)
		}
		got := b.got()
		assert.Empty(t, linkWords(got)[1:], "said once that readings come")
		bad := 0
		for _, s := range got {
			if strings.HasPrefix(s, "bad ") {
				bad++
			}
		}
		assert.LessOrEqual(t, bad, 8*2)
		assert.Positive(t, bad)
		b.end()
	})
}

// linkWords are the reports about the link among what was got.
func linkWords(got []string) (out []string) {
	for _, s := range got {
		if len(s) > 5 && s[:5] == "live:" {
			out = append(out, s)
		}
	}
	return out
}

// The first line of a real move waits for the second and is not lost; one that
// the second does not confirm is damaged.
func TestJumpWaitsForTheNextLine(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.send("\n")
		for range 20 {
			b.send("7.02\n")
			b.wait(500 * time.Millisecond)
		}
		b.got()
		for _, line := range []string{"7.02\n", "7.32\n", "7.02\n", "7.25\n", "7.60\n", "7.90\n", "8.05\n"} {
			b.send(line)
			b.wait(500 * time.Millisecond)
		}
		assert.Equal(t, []string{"7.020", "bad 7.32", "7.020", "7.250", "7.600", "7.900", "8.050"}, b.states())
		b.send("9.90\n")
		b.wait(4 * time.Second)
		assert.Equal(t, []string{"bad 9.90", "quiet"}, b.states(), "the last one waits for nothing")
		b.end()
	})
}
