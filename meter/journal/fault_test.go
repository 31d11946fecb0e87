package journal_test

import (
	"os"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/halfdrop/meter/journal"
)

// A disk that fills at any byte of a line: the event is refused, the file ends
// with the last whole line, and when there is room again the same event goes in.
func TestDiskFullAtEveryByte(t *testing.T) {
	whole := write(t, oneOfEach()[:5])
	two := len(write(t, oneOfEach()[:2]))
	for room := two; room < len(whole); room++ {
		m := &memory{room: room}
		w := journal.NewWriter(m)
		events := oneOfEach()[:5]
		i := 0
		for ; i < len(events); i++ {
			if err := w.Append(&events[i]); err != nil {
				require.ErrorIs(t, err, errFull)
				require.NotErrorIs(t, err, journal.ErrBroken)
				break
			}
		}
		require.Less(t, i, len(events))
		require.Zero(t, events[i].Seq)
		_, tail, err := scan(m.data)
		require.NoError(t, err)
		require.False(t, tail.Torn())
		require.EqualValues(t, i, tail.Events, "what was acknowledged, no more and no less")

		m.room = 0
		for ; i < len(events); i++ {
			require.NoError(t, w.Append(&events[i]))
		}
		require.Equal(t, string(whole), string(m.data), "as if nothing had been")
	}
}

// If the torn line cannot be taken back either, no line may follow it.
func TestBrokenForGood(t *testing.T) {
	for name, tc := range map[string]struct {
		fail func(m *memory)
		torn bool
	}{
		"write and cut": {func(m *memory) { m.room = len(m.data) + 10; m.failCut = true }, true},
		"sync":          {func(m *memory) { m.failSyn = true }, false},
		"sync and cut":  {func(m *memory) { m.failSyn = true; m.failCut = true }, false},
	} {
		t.Run(name, func(t *testing.T) {
			m := &memory{}
			w := journal.NewWriter(m)
			first := start()
			require.NoError(t, w.Append(&first))
			good := len(m.data)
			tc.fail(m)
			e := added(1, 1)
			broken := w.Append(&e)
			require.ErrorIs(t, broken, journal.ErrBroken)
			require.ErrorIs(t, broken, errFull, "the cause is kept")
			require.ErrorContains(t, broken, "check the disk")

			*m = memory{data: m.data} // all is well again, too late
			size := len(m.data)
			require.Equal(t, broken, w.Append(&e), "the first error, each time")
			require.Len(t, m.data, size)
			require.NoError(t, w.Close())
			_, tail, err := scan(m.data)
			require.NoError(t, err)
			assert.Equal(t, tc.torn, tail.Torn())
			assert.LessOrEqual(t, int64(good), tail.Good)
		})
	}
}

// A sink that writes less than it was given without an error is not believed.
func TestShortWriteWithoutError(t *testing.T) {
	m := &lazy{}
	w := journal.NewWriter(m)
	first := start()
	require.Error(t, w.Append(&first))
	assert.Empty(t, m.data)
}

type lazy struct{ memory }

func (l *lazy) Write(b []byte) (int, error) { return l.memory.Write(b[:len(b)/2]) }

// Power cuts by a model of a disk: what was synced is there; of the rest any
// front part, the remainder being gone or zeros. Every durable event that was
// acknowledged is there, every loss is named.
func TestPowerCut(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m := &memory{}
		w := journal.NewWriter(m)
		first := start()
		require.NoError(rt, w.Append(&first))
		durable := int64(1)
		at := 0.0
		for range rapid.IntRange(0, 30).Draw(rt, "events") {
			at += rapid.SampledFrom([]float64{0, 0.1, 0.4, 2}).Draw(rt, "dt")
			e := reading(at, 7)
			if rapid.IntRange(0, 3).Draw(rt, "kind") == 0 {
				e = added(at, 2)
			}
			m.failSyn = rapid.IntRange(0, 40).Draw(rt, "sync fails") == 0
			if w.Append(&e) == nil && e.Kind.Durable() {
				durable = e.Seq
			}
		}
		cut := rapid.IntRange(m.onDisk, len(m.data)).Draw(rt, "cut")
		left := append([]byte{}, m.data[:cut]...)
		if rapid.Bool().Draw(rt, "zeros") {
			left = append(left, make([]byte, len(m.data)-cut)...)
		}
		_, tail, err := scan(left)
		require.NoError(rt, err)
		require.GreaterOrEqual(rt, tail.Events, durable)
		require.EqualValues(rt, len(left), tail.Good+tail.Lost)
	})
}

// A file removed under a running program is noticed at the next sync.
func TestFileRemoved(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("NOT RUN: a journal removed under the program was not tried, for Windows does not let an open file be removed")
	}
	for name, remove := range map[string]func(path string) error{
		"removed": os.Remove,
		"renamed": func(path string) error { return os.Rename(path, path+".old") },
		"replaced": func(path string) error {
			if err := os.Remove(path); err != nil {
				return err
			}
			return os.WriteFile(path, []byte("other"), 0o644)
		},
	} {
		t.Run(name, func(t *testing.T) {
			path := t.TempDir() + "/run.jsonl"
			w, err := journal.Create(path, start())
			require.NoError(t, err)
			require.NoError(t, remove(path))
			soon := reading(0.5, 7)
			require.NoError(t, w.Append(&soon), "not synced yet")
			e := reading(1.2, 7)
			err = w.Append(&e)
			require.ErrorIs(t, err, journal.ErrRemoved)
			require.ErrorIs(t, err, journal.ErrBroken)
			require.ErrorContains(t, err, path)
			require.NoError(t, w.Close())
		})
	}
}
