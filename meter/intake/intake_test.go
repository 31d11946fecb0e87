package intake_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/intake"
)

func TestNames(t *testing.T) {
	for _, good := range []string{"NaOH 1 M", "Tris·HCl, 25 °C", "пуфер", "µ-buffer (½)", "a", strings.Repeat("n", intake.MaxName)} {
		assert.NoError(t, intake.Name(good), good)
		assert.Equal(t, good, intake.Escape(good))
	}
	for bad, says := range map[string]string{
		"":                                    "empty",
		"   ":                                 "empty",
		"a\x00b":                              `character 2 is \x00`,
		"\x1b[2J":                             `character 1 is \x1b`,
		"a\nb":                                `character 2 is \n`,
		"a\u202eb":                            `character 2 is \u202e`,
		"a\u200bb":                            `character 2 is \u200b`,
		"a\u0085":                             `\u0085`,
		"µ\xff":                               `character 2 is \xff`,
		strings.Repeat("n", intake.MaxName+1): "121 characters; at most 120 are possible",
		"a\u2028b":                            `\u2028`,
		"\U000e0041tag":                       `\U000e0041`,
	} {
		assert.ErrorContains(t, intake.Name(bad), says, "%q", bad)
	}
}

func TestEscape(t *testing.T) {
	assert.Equal(t, `a\x1b[2Jb\nc\u202ed\xffe`, intake.Escape("a\x1b[2Jb\nc\u202ed\xffe"))
	for _, s := range []string{"=cmd(1)", "+1", "-1", "@x"} {
		assert.Equal(t, "'"+s, intake.Cell(s))
	}
	assert.Equal(t, "HCl 1 M", intake.Cell("HCl 1 M"))
	assert.Equal(t, `\t=1`, intake.Cell("\t=1"))
}

// Escaped, a JSON text means what it meant.
func TestJSON(t *testing.T) {
	want := "a\u202eb\U000e0041 \u2028 ½"
	text, err := json.Marshal(want)
	require.NoError(t, err)
	safe := intake.JSON(text)
	assert.NotContains(t, string(safe), "\u202e")
	var got string
	require.NoError(t, json.Unmarshal(safe, &got))
	assert.Equal(t, want, got)
	assert.Equal(t, "{}\n", string(intake.JSON([]byte("{}\n"))))
}

func TestFiles(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.toml")
	require.NoError(t, os.WriteFile(path, []byte("name = 1"), 0o600))
	got, err := intake.ReadFile(path, 8)
	require.NoError(t, err)
	assert.Equal(t, "name = 1", string(got))
	_, err = intake.ReadFile(path, 7)
	assert.ErrorIs(t, err, intake.ErrSize)
	assert.ErrorContains(t, err, "more than 7 bytes")
	_, err = intake.ReadFile(dir, 100)
	assert.ErrorIs(t, err, intake.ErrKind)
	assert.ErrorContains(t, err, "it is a folder")
	_, err = intake.ReadFile(filepath.Join(dir, "none"), 100)
	assert.ErrorIs(t, err, os.ErrNotExist)
	assert.NoError(t, intake.Ordinary(path))
	assert.NoError(t, intake.Ordinary(filepath.Join(dir, "none")))
	assert.ErrorIs(t, intake.Ordinary(dir), intake.ErrKind)
}

// FuzzEscape: what is escaped does nothing, and escaping again changes nothing.
func FuzzEscape(f *testing.F) {
	f.Add("a\x1b[2J\u202e\xff=")
	f.Fuzz(func(t *testing.T, s string) {
		out := intake.Escape(s)
		for _, r := range out {
			require.True(t, intake.Harmless(r), "%q", out)
		}
		require.Equal(t, out, intake.Escape(out))
		if intake.Words(s, 1<<30) == nil {
			require.Equal(t, s, out)
		}
	})
}

// A text is the same however it is cut into writes.
func TestWriter(t *testing.T) {
	const text = "pH 7.02 ± 0.01 → ok\n\ta\x1b[2Jb\u202e\xff end ½"
	for size := 1; size < len(text); size++ {
		var b strings.Builder
		w := intake.NewWriter(&b)
		for rest := text; rest != ""; {
			n := min(size, len(rest))
			k, err := w.Write([]byte(rest[:n]))
			require.NoError(t, err)
			require.Equal(t, n, k)
			rest = rest[n:]
		}
		require.Equal(t, "pH 7.02 ± 0.01 → ok\n\ta\\x1b[2Jb\\u202e\\xff end ½", b.String(), size)
	}
}
