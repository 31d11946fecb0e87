package journal_test

import (
	"bytes"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"example.org/halfdrop/meter/journal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestDefaultFolder(t *testing.T) {
	for _, tc := range []struct {
		name, goos, home, want, src string
		env                         map[string]string
	}{
		{"linux", "linux", "/h", "/h/.local/share/halfdrop/runs", "XDG base directory specification", nil},
		{"xdg", "linux", "/h", "/d/halfdrop/runs", "the same", map[string]string{"XDG_DATA_HOME": "/d"}},
		{"relative xdg", "linux", "/h", "/h/.local/share/halfdrop/runs", "the same: all paths must be absolute", map[string]string{"XDG_DATA_HOME": "d"}},
		{"mac", "darwin", "/h", "/h/Library/Application Support/halfdrop/runs", "Apple, File System Programming Guide", nil},
		{"windows", "windows", "/h", "/l/halfdrop/runs", "Windows known folders", map[string]string{"LocalAppData": "/l"}},
		{"windows bare", "windows", "/h", "/h/AppData/Local/halfdrop/runs", "the same", nil},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got, err := journal.FolderFor(tc.goos, tc.home, func(k string) string { return tc.env[k] })
			require.NoError(t, err)
			assert.Equal(t, filepath.FromSlash(tc.want), got, tc.src)
		})
	}
	_, err := journal.FolderFor("linux", "", func(string) string { return "" })
	require.Error(t, err)
	got, err := journal.DefaultFolder()
	require.NoError(t, err)
	assert.True(t, filepath.IsAbs(got))
}

func TestNewName(t *testing.T) {
	at := time.Date(2026, 11, 25, 14, 15, 3, 0, time.UTC)
	for plan, want := range map[string]string{
		"HEPES 25 mM":          "20261125-141503-hepes-25-mm.jsonl",
		"Tris 10 µM / pH 8.0":  "20261125-141503-tris-10-um-ph-8-0.jsonl",
		"../../etc/passwd":     "20261125-141503-etc-passwd.jsonl",
		"":                     "20261125-141503-run.jsonl",
		"緩衝液":                  "20261125-141503-run.jsonl",
		"für die Kälte: 4 °C?": "20261125-141503-fuer-die-kaelte-4-c.jsonl",
	} {
		assert.Equal(t, want, journal.NewName(at, plan))
	}
	safe := regexp.MustCompile(`^\d{8}-\d{6}-[a-z0-9]+(-[a-z0-9]+)*\.jsonl$`)
	rapid.Check(t, func(rt *rapid.T) {
		name := journal.NewName(at, rapid.String().Draw(rt, "plan"))
		require.Regexp(rt, safe, name)
		require.Less(rt, len(name), 70)
	})
}

func TestCreateInFindsAFreeName(t *testing.T) {
	dir := t.TempDir()
	for _, want := range []string{"20261125-141503-hepes.jsonl", "20261125-141503-hepes-2.jsonl", "20261125-141503-hepes-3.jsonl"} {
		w, err := journal.CreateIn(dir, dawn, "HEPES", start())
		require.NoError(t, err)
		assert.Equal(t, filepath.Join(dir, want), w.Path())
		require.NoError(t, w.Close())
	}
}

// At any length of the file Peek finds the event that Scan ends with.
func TestPeekAgreesWithScan(t *testing.T) {
	events := oneOfEach()
	events[11].Remark.Text = strings.Repeat("long ", 20_000) // longer than the first looks back
	data := write(t, events)
	lines := ends(data)
	for _, cut := range append(lines, lines[11]-1, lines[11]-7000, lines[12]+5, lines[3]-1) {
		path := onFile(t, data[:cut])
		first, last, err := journal.Peek(path)
		require.NoError(t, err)
		got, tail, err := scan(data[:cut])
		require.NoError(t, err)
		assert.Equal(t, "bench 4", first.Start.Operator)
		assert.Equal(t, tail.Events, last.Seq)
		assert.Equal(t, text(t, got[len(got)-1]), text(t, last))
	}
}

func TestPeekRefuses(t *testing.T) {
	data := write(t, oneOfEach())
	_, _, err := journal.Peek(onFile(t, nil))
	require.ErrorIs(t, err, journal.ErrStart)
	_, _, err = journal.Peek(onFile(t, data[1:]))
	require.ErrorContains(t, err, "the first line")
	_, _, err = journal.Peek(filepath.Join(t.TempDir(), "none"))
	require.Error(t, err)
	first := ends(data)[0]
	_, _, err = journal.Peek(onFile(t, append(data[:first:first], bytes.Repeat([]byte("x"), 12<<20)...)))
	require.ErrorContains(t, err, "no whole event", "it does not read any amount")
}

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
