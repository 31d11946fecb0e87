package journal_test

import (
	"path/filepath"
	"regexp"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/halfdrop/meter/journal"
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
