package journal_test

import (
	"bytes"
	"errors"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
)

// ends gives the offset after each line.
func ends(data []byte) []int {
	var at []int
	for i, b := range data {
		if b == '\n' {
			at = append(at, i+1)
		}
	}
	return at
}

// before is how many lines end at or before the offset.
func before(data []byte, offset int) int {
	return bytes.Count(data[:offset], []byte("\n"))
}

// The journal cut at every byte of its last three events: the whole lines are
// there, what is torn is named and kept, and the run goes on.
func TestCutAtEveryByte(t *testing.T) {
	data := write(t, oneOfEach())
	lines := ends(data)
	from := lines[len(lines)-4]
	for cut := from; cut <= len(data); cut++ {
		keep := before(data, cut)
		good := lines[keep-1]
		got, tail, err := scan(data[:cut])
		require.NoError(t, err, "cut at %d", cut)
		require.Len(t, got, keep)
		require.EqualValues(t, cut-good, tail.Lost)

		r := check(t, data[:cut])
		require.Equal(t, cut == good, r.Sound(), "cut at %d: %v", cut, r.Faults)
		require.EqualValues(t, keep, r.Events)
		goesOn(t, data[:cut], good)
	}
}

// goesOn resumes a damaged journal and requires that every byte of it is
// either in the journal or set aside.
func goesOn(t *testing.T, data []byte, good int) {
	t.Helper()
	path := t.TempDir() + "/run.jsonl"
	require.NoError(t, os.WriteFile(path, data, 0o644))
	w, repair, err := journal.Resume(path, nil)
	require.NoError(t, err)
	kept, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Len(t, kept, good)
	if good < len(data) {
		aside, err := os.ReadFile(repair.File)
		require.NoError(t, err)
		kept = append(kept, aside...)
	}
	require.True(t, bytes.Equal(data, kept), "every byte is in one of the two")
	require.Equal(t, good < len(data), repair.Needed())
	e := added(9000, 1)
	require.NoError(t, w.Append(&e))
	require.NoError(t, w.Close())
	mustBeSound(t, path)
}

// Every byte of the last three events flipped, bit by bit: always noticed, the
// lines before it always handed over, nothing dropped without a word.
func TestFlipEveryByte(t *testing.T) {
	data := write(t, oneOfEach())
	lines := ends(data)
	last := lines[len(lines)-2]
	for i := lines[len(lines)-4]; i < len(data); i++ {
		for bit := range 8 {
			bad := bytes.Clone(data)
			bad[i] ^= 1 << bit
			keep := before(data, i)

			got, tail, err := scan(bad)
			require.Len(t, got, keep, "byte %d bit %d", i, bit)
			r := check(t, bad)
			require.NotEmpty(t, r.Faults, "byte %d bit %d", i, bit)
			require.EqualValues(t, keep+1, r.Faults[0].Line)
			require.EqualValues(t, lines[keep-1], r.Faults[0].Offset)
			flipped(t, i >= last-1, err, tail, keep)
		}
	}
}

// flipped judges a scan over a flipped byte: damage in the last line (or in the
// line feed that joins another to it) can be set aside, any other is an error.
func flipped(t *testing.T, atEnd bool, err error, tail journal.Tail, keep int) {
	t.Helper()
	if atEnd {
		require.NoError(t, err)
		require.True(t, tail.Torn())
		require.EqualValues(t, keep+1, tail.Line())
		return
	}
	var damage *journal.DamageError
	require.ErrorAs(t, err, &damage)
	require.EqualValues(t, keep+1, damage.Line)
}

// Flips through a whole small journal and on to resuming: never a panic, and
// the file either goes on with all its bytes kept or is left as it was.
func TestFlipAnywhereAndResume(t *testing.T) {
	data := write(t, oneOfEach()[:4])
	for i := range data {
		bad := bytes.Clone(data)
		bad[i] ^= 0x15
		_, tail, err := scan(bad)
		if err == nil {
			goesOn(t, bad, int(tail.Good))
			continue
		}
		path := onFile(t, bad)
		_, _, err = journal.Resume(path, nil)
		require.Error(t, err)
		after, err := os.ReadFile(path)
		require.NoError(t, err)
		require.True(t, bytes.Equal(bad, after))
	}
}

// FuzzScan: no bytes at all make Scan or Check panic; they agree on what is
// sound, and what Scan hands over is the front of the file, byte for byte.
func FuzzScan(f *testing.F) {
	data := write(f, oneOfEach())
	f.Add(data)
	f.Add(data[:len(data)-5])
	f.Add([]byte("\n\n{}\x00"))
	f.Add(sealed(startLine, `{"seq":2,"at":"2026-11-25T14:15:03Z","t":1,"kind":"stir"`))
	f.Fuzz(func(t *testing.T, data []byte) {
		got, tail, err := scan(data)
		assert.EqualValues(t, len(got), tail.Events)
		assert.LessOrEqual(t, tail.Good, int64(len(data)))
		assert.Equal(t, len(got), before(data, int(tail.Good)))
		r := check(t, data)
		assert.EqualValues(t, len(slices.Collect(bytes.Lines(data))), r.Lines, "it is read to its end")
		if err == nil && !tail.Torn() {
			assert.Equal(t, tail.Sum, r.Sum)
		} else {
			assert.False(t, r.Sound(), "what Scan stops at is a fault: %v %+v", err, tail)
		}
		if err == nil {
			assert.Equal(t, int64(len(data)), tail.Good+tail.Lost, "nothing is left unsaid")
		}
		if err != nil {
			var d *journal.DamageError
			known := errors.As(err, &d) || errors.Is(err, journal.ErrStart) || errors.Is(err, journal.ErrFormat)
			assert.True(t, known, "%v", err)
		}
	})
}
