package screen_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the golden files anew")

func TestMain(m *testing.M) {
	lipgloss.SetColorProfile(termenv.Ascii)
	os.Exit(m.Run())
}

// golden compares a screen of w by h with testdata/<test>/<name>.golden and
// checks that it keeps to its size.
func golden(t *testing.T, name, got string, w, h int) {
	t.Helper()
	fits(t, got, w, h)
	got = ansi.Strip(got) + "\n"
	top, _, _ := strings.Cut(t.Name(), "/")
	path := filepath.Join("testdata", top, strings.ReplaceAll(name, " ", "-")+".golden")
	if *update {
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
		return
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err, "run go test -update and look at what it writes")
	assert.Equal(t, string(want), got, path)
}

// fits checks the number of rows and their display width.
func fits(t *testing.T, got string, w, h int) {
	t.Helper()
	rows := strings.Split(got, "\n")
	assert.Len(t, rows, h, "rows")
	for i, row := range rows {
		assert.LessOrEqual(t, lipgloss.Width(row), w, "row %d: %q", i, row)
	}
}
