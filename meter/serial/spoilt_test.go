package serial

import (
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
		b.send("\n7.02\n")
		b.got()
		for range 40 {
			b.send("7.02\n", "7.02\n", "7.02\n", "7.02\n", "7.02\n", "x\n")
		}
		assert.NotContains(t, linkWords(b.got()), "damaged", "one in six")
		for range 20 {
			b.send("7.02\n", "7.02\n", "x\n")
		}
		said := linkWords(b.got())
		require.Len(t, said, 1)
		assert.Contains(t, said[0], "of 32 lines arrive damaged: a loose plug, or another program on the port?")
		for range 60 {
			b.send("7.02\n")
		}
		assert.Equal(t, []string{"live: the lines arrive whole again"}, linkWords(b.got()))
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
