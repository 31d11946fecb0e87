package serial

import (
	"testing"
	"testing/synctest"

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
