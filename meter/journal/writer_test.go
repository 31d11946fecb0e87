package journal_test

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"flag"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
)

var update = flag.Bool("update", false, "write the golden files anew")

// The format is a promise to other programs: every kind of line, byte for byte.
func TestGoldenLines(t *testing.T) {
	got := write(t, oneOfEach())
	const golden = "testdata/every-kind.jsonl"
	if *update {
		require.NoError(t, os.WriteFile(golden, got, 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, string(want), string(got))
}

// The sum computed a second way, from the words of the package comment alone:
// with a regular JSON decoder for the stated sum and no code of the package.
func TestSumAsDocumented(t *testing.T) {
	prev := ""
	for line := range strings.Lines(string(write(t, oneOfEach()))) {
		line = strings.TrimSuffix(line, "\n")
		var stated struct{ Sum string }
		require.NoError(t, json.Unmarshal([]byte(line), &stated))
		assert.Equal(t, sumOf(prev, line[:len(line)-42]), stated.Sum)
		prev = stated.Sum
	}
}

// sumOf is the sum as the package comment has it.
func sumOf(prev, body string) string {
	h := sha256.Sum256([]byte(prev + body))
	return hex.EncodeToString(h[:])[:32]
}

func TestRoundTripOfEveryKind(t *testing.T) {
	events := oneOfEach()
	got, tail, err := scan(write(t, events))
	require.NoError(t, err)
	require.Len(t, got, len(events))
	assert.False(t, tail.Torn())
	for i := range events {
		assert.Equal(t, text(t, events[i]), text(t, got[i]))
		assert.Equal(t, events[i].Raw, got[i].Raw, "raw bytes are kept even when they are not text")
	}
	assert.Equal(t, tail.Sum, events[len(events)-1].Sum)
}

func TestAppendRefuses(t *testing.T) {
	two := added(1, 1)
	two.Remark = &journal.Remark{Text: "x"}
	nan := added(1, 1)
	nan.Added.ML = math.NaN()
	long := event(journal.Remarked, 1)
	long.Remark = &journal.Remark{Text: strings.Repeat("x", journal.MaxLine)}
	for name, tc := range map[string]struct {
		e    journal.Event
		want error
	}{
		"second start":    {start(), journal.ErrEvent},
		"no payload":      {event(journal.Added, 1), journal.ErrEvent},
		"two payloads":    {two, journal.ErrEvent},
		"unknown kind":    {event("stir", 1), journal.ErrEvent},
		"not a number":    {nan, journal.ErrEvent},
		"too long":        {long, journal.ErrEvent},
		"time goes back":  {added(0.4, 1), journal.ErrBackwards},
		"t not a number":  {event(journal.Confirmed, math.NaN()), journal.ErrEvent},
		"t is infinitely": {event(journal.Confirmed, math.Inf(1)), journal.ErrEvent},
	} {
		t.Run(name, func(t *testing.T) {
			m := &memory{}
			w := journal.NewWriter(m)
			first, second := start(), reading(0.5, 7)
			require.NoError(t, w.Append(&first))
			require.NoError(t, w.Append(&second))
			before := len(m.data)
			require.ErrorIs(t, w.Append(&tc.e), tc.want)
			assert.Len(t, m.data, before, "nothing is written")
			assert.Zero(t, tc.e.Seq)
			next := added(1, 2)
			require.NoError(t, w.Append(&next), "a refused event does no harm")
			_, tail, err := scan(m.data)
			require.NoError(t, err)
			assert.EqualValues(t, 3, tail.Events)
		})
	}
}

func TestFirstEventMustBeStart(t *testing.T) {
	w := journal.NewWriter(&memory{})
	e := added(1, 1)
	require.ErrorIs(t, w.Append(&e), journal.ErrEvent)
	s := start()
	s.Start.Format = 99
	require.ErrorIs(t, w.Append(&s), journal.ErrEvent)
}

func TestDurableIsSyncedBeforeItIsAcknowledged(t *testing.T) {
	for _, e := range oneOfEach()[1:] {
		m := &memory{}
		w := journal.NewWriter(m)
		first := start()
		require.NoError(t, w.Append(&first))
		e.At = dawn // within the second
		require.NoError(t, w.Append(&e))
		assert.Equal(t, e.Kind.Durable(), m.onDisk == len(m.data), "kind %s", e.Kind)
	}
}

// At 10 readings a second no reading may wait a second or longer.
func TestReadingsAreSyncedEachSecond(t *testing.T) {
	for _, hz := range []float64{0.5, 1.1, 1.7, 3, 10} {
		m := &memory{}
		w := journal.NewWriter(m)
		first := start()
		require.NoError(t, w.Append(&first))
		oldest, waiting := 0.0, false
		for i := range 100 {
			e := reading(float64(i+1)/hz, 7)
			require.NoError(t, w.Append(&e))
			if m.onDisk == len(m.data) {
				waiting = false
				continue
			}
			if !waiting {
				oldest, waiting = e.T, true
			}
			assert.Less(t, e.T-oldest, 1.0, "%g Hz", hz)
		}
		assert.LessOrEqual(t, m.syncs, 101)
		if hz == 10 {
			assert.InDelta(t, 11, m.syncs, 1, "no more than needed")
		}
	}
}

func TestClockDecidesWhenGiven(t *testing.T) {
	now := dawn
	m := &memory{}
	w := journal.NewWriter(m, journal.WithClock(func() time.Time { return now }))
	first := start()
	require.NoError(t, w.Append(&first))
	for i := range 50 {
		e := reading(float64(i*10), 7)
		require.NoError(t, w.Append(&e))
	}
	assert.Equal(t, 1, m.syncs, "no real time has passed")
	now = now.Add(time.Second)
	e := reading(1000, 7)
	require.NoError(t, w.Append(&e))
	assert.Equal(t, 2, m.syncs)
}

func TestCloseBringsTheRestToTheDisk(t *testing.T) {
	m := &memory{}
	w := journal.NewWriter(m)
	first, e := start(), reading(0.1, 7)
	require.NoError(t, w.Append(&first))
	require.NoError(t, w.Append(&e))
	require.Less(t, m.onDisk, len(m.data))
	require.NoError(t, w.Close())
	assert.Equal(t, len(m.data), m.onDisk)
	require.NoError(t, w.Close())
	require.ErrorIs(t, w.Append(&e), journal.ErrClosed)
}
