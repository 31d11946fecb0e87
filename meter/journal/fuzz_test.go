package journal_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
)

// FuzzJournal: a journal, damaged in any way, is never taken for a sound one
// that it is not, what is handed over is a prefix of what was written, and
// nothing panics.
func FuzzJournal(f *testing.F) {
	sound := write(f, oneOfEach())
	f.Add(0, byte(0), []byte(nil))
	f.Add(700, byte(1), []byte("\r"))
	f.Add(len(sound)-1, byte(0x80), []byte("\n"))
	f.Add(0, byte(0), []byte("\xef\xbb\xbf"))
	f.Add(len(sound), byte(0), sound)
	f.Add(5, byte(0), []byte("\xff\xfe"))
	var events []journal.Event
	if _, err := journal.Scan(bytes.NewReader(sound), func(e journal.Event) error { events = append(events, e); return nil }); err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, at int, flip byte, put []byte) {
		at = min(max(at, 0), len(sound))
		data := append(append(bytes.Clone(sound[:at]), put...), sound[at:]...)
		if at < len(data) {
			data[at] ^= flip
		}
		n := 0
		_, _ = journal.Scan(bytes.NewReader(data), func(e journal.Event) error {
			if n < len(events) {
				require.Equal(t, events[n].Sum, e.Sum, "an event that was not written there")
			}
			n++
			return nil
		})
		r, err := journal.Check(bytes.NewReader(data))
		require.NoError(t, err)
		if !bytes.Equal(data, sound) {
			require.False(t, r.Sound(), "%q at %d", put, at)
		}
		// And as bytes of any kind.
		_, err = journal.Check(bytes.NewReader(put))
		require.NoError(t, err)
	})
}
