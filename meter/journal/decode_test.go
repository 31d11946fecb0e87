package journal_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/halfdrop/meter/journal"
)

// anyReading draws readings of every shape, odd ones included.
func anyReading(t *rapid.T) journal.Event {
	maybe := func(name string) *float64 {
		if rapid.Bool().Draw(t, "has "+name) {
			return p(rapid.Float64().Draw(t, name))
		}
		return nil
	}
	offset := rapid.SampledFrom([]int{0, 3600, -3600, 19800, 50400, -43200, 20700}).Draw(t, "zone")
	at := time.Unix(rapid.Int64Range(0, 4e9).Draw(t, "at"), rapid.Int64Range(0, 999_999_999).Draw(t, "ns"))
	return journal.Event{
		Kind: journal.Read, T: rapid.Float64Range(0, 1e9).Draw(t, "t"),
		At: at.In(time.FixedZone("", offset)),
		Reading: &journal.Reading{
			PH: maybe("ph"), MV: maybe("mv"), TempC: maybe("temp"),
			Decimals: rapid.IntRange(-1, 9).Draw(t, "decimals"),
			Flags:    rapid.SliceOfN(rapid.SampledFrom([]string{"stable", "unstable", "over", "no probe", "x\"y", "µ"}), 0, 3).Draw(t, "flags"),
			Refused:  rapid.SampledFrom([]string{"", "out of range", "a\tb"}).Draw(t, "refused"),
			Typed:    rapid.Bool().Draw(t, "typed"), Stands: rapid.Bool().Draw(t, "stands"), Same: rapid.Bool().Draw(t, "same"),
		},
		Raw: string(rapid.SliceOfN(rapid.Byte(), 0, 40).Draw(t, "raw")),
	}
}

// Whatever a Writer takes, Scan gives back, through either decoder.
func TestReadingsRoundTrip(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m := &memory{}
		w := journal.NewWriter(m)
		first, e := start(), anyReading(rt)
		require.NoError(rt, w.Append(&first))
		require.NoError(rt, w.Append(&e))
		got, tail, err := scan(m.data)
		require.NoError(rt, err)
		require.False(rt, tail.Torn())
		require.Equal(rt, text(t, e), text(t, got[1]))
		require.Equal(rt, e.Raw, got[1].Raw)
		if len(e.Reading.Flags) == 0 {
			require.Empty(rt, got[1].Reading.Flags)
		}
	})
}

// The fast decoder takes what meters send day by day: else the benchmark would
// measure something that does not happen.
func TestFastDecoderIsUsed(t *testing.T) {
	same := reading(29, 7.02)
	same.Reading.Same = true
	for _, e := range []journal.Event{reading(0.1, 7.02), reading(28_800, -0.5), same} {
		m := &memory{}
		w := journal.NewWriter(m)
		first := start()
		require.NoError(t, w.Append(&first))
		require.NoError(t, w.Append(&e))
		last := bytes.Split(bytes.TrimSpace(m.data), []byte("\n"))[1]
		_, taken, _, err := journal.BothDecoders(last)
		require.NoError(t, err)
		assert.True(t, taken, "%s", last)
	}
}

// FuzzDecoders: the fast decoder takes nothing that encoding/json refuses or
// reads otherwise.
func FuzzDecoders(f *testing.F) {
	for line := range strings.Lines(string(write(f, oneOfEach()))) {
		f.Add([]byte(strings.TrimSpace(line)))
	}
	f.Fuzz(func(t *testing.T, line []byte) {
		fast, taken, slow, err := journal.BothDecoders(line)
		if !taken {
			return
		}
		require.NoError(t, err)
		assert.Equal(t, text(t, slow), text(t, fast))
	})
}
