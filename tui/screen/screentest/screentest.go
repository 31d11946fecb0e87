// Package screentest compares screens with golden files, and with what the console draws.
// A test that imports it draws without colours, whatever terminal it runs in.
package screentest

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/encoding/charmap"

	"example.org/halfdrop/tui/widget"
)

func init() { lipgloss.SetColorProfile(termenv.Ascii) }

var update = flag.Bool("update", false, "write the golden files again")

// Golden compares a screen of w by h with testdata/<test>/<name>.golden and
// checks that it keeps to its size.
func Golden(t *testing.T, name, got string, w, h int) {
	t.Helper()
	Fits(t, got, w, h)
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

// Goldens does so at the three sizes that every screen is looked at, as "<name> 80x24".
func Goldens(t *testing.T, name string, draw func(w, h int) string) {
	for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}} {
		label := strings.TrimSpace(fmt.Sprintf("%s %dx%d", name, size[0], size[1]))
		t.Run(label, func(t *testing.T) { Golden(t, label, draw(size[0], size[1]), size[0], size[1]) })
	}
}

// AnySize checks that no size breaks a screen, in any set of characters, and that with
// ASCII nothing else is drawn.
func AnySize(t *testing.T, name string, draw func(set *widget.Set, w, h int) string) {
	t.Helper()
	for _, set := range []*widget.Set{&widget.Unicode, &widget.Console, &widget.ASCII} {
		for _, w := range []int{1, 9, 29, 40, 59, 60, 80, 150} {
			for _, h := range []int{1, 2, 3, 4, 5, 6, 12, 19, 20, 24, 50} {
				out := draw(set, w, h)
				Fits(t, out, w, h)
				if set.ASCII {
					assert.Equal(t, len(out), utf8.RuneCountInString(out), "%s: only ASCII", name)
				}
			}
		}
	}
	assert.Empty(t, draw(&widget.Unicode, 0, 24))
}

// Fits checks the number of rows and their display width.
func Fits(t *testing.T, got string, w, h int) {
	t.Helper()
	rows := strings.Split(got, "\n")
	assert.Len(t, rows, h, "rows")
	for i, row := range rows {
		assert.LessOrEqual(t, lipgloss.Width(row), w, "row %d: %q", i, row)
	}
}

// signs are what the font of the Linux console draws in the places of the control
// characters, as the screen of a PC has done (code page 437).
const signs = "☺☻♥♦♣♠•◘○◙♂♀♪♫☼►◄↕‼¶§▬↨↑↓→←∟↔▲▼⌂"

// alsoThere are other characters that the console's font takes one of its own for:
// cp437.uni of Linux (drivers/tty/vt) has them.
const alsoThere = "×µ"

// Lacking are the characters of a screen that the default font of the Linux console
// does not have.
func Lacking(view string) (out []rune) {
	for _, r := range ansi.Strip(view) {
		if r < 0x80 || strings.ContainsRune(signs+alsoThere, r) {
			continue
		}
		if _, ok := charmap.CodePage437.EncodeRune(r); !ok && !slices.Contains(out, r) {
			out = append(out, r)
		}
	}
	return out
}
