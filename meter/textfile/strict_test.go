package textfile

import (
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type card struct {
	Name  string  `toml:"name"`
	Inner *inner  `toml:"inner"`
	List  []inner `toml:"list"`
	Text  []byte  `toml:"-"`
}

type inner struct {
	Molar float64 `toml:"molar"`
}

func TestDecodeSaysWhere(t *testing.T) {
	for _, c := range []struct {
		text, want string
		key        []string
		near       string
	}{
		{"nme = \"a\"\n", `f.toml:1:1: unknown key "nme"`, []string{"nme"}, "name"},
		{"\xef\xbb\xbfname = \"a\"\n[inner]\nmolr = 1\n", `f.toml:3:1: unknown key "inner.molr"`, []string{"inner", "molr"}, "molar"},
		{"[[list]]\nmolar = 1\n[[list]]\nmolra = 1\n", `f.toml:4:1: unknown key "list.molra"`, []string{"list", "molra"}, "molar"},
	} {
		var v card
		err := Decode("f.toml", []byte(c.text), &v)
		var bad Faults
		require.ErrorAs(t, err, &bad)
		require.Len(t, bad, 1)
		assert.Equal(t, c.want, err.Error())
		assert.Equal(t, c.key, bad[0].Key)
		assert.Equal(t, c.near, bad[0].Near())
	}
	var v card
	err := Decode("f.toml", []byte("a = 1\nb = 2\n"), &v)
	assert.Equal(t, "f.toml:1:1: unknown key \"a\"\nf.toml:2:1: unknown key \"b\"", err.Error(), "all of them")
	err = Decode("f.toml", []byte("name = 7\n"), &v)
	var bad Faults
	require.ErrorAs(t, err, &bad)
	assert.Nil(t, bad[0].Key)
	assert.Equal(t, [2]int{1, 8}, [2]int{bad[0].Line, bad[0].Column})
	for text, says := range map[string]string{
		"name = 7\n":                   "a number stands where text in quotes is wanted",
		"inner = 3\n":                  "a number stands where a table is wanted",
		"list = 4\n":                   "a number stands where a list is wanted",
		"[inner]\nmolar = \"0.5 M\"\n": "text in quotes stands where a number is wanted",
		"[inner]\nmolar = true\n":      "true or false stands where a number is wanted",
		"[inner]\nmolar = 0,5\n":       "a number has a decimal point",
	} {
		err := Decode("f.toml", []byte(text), &v)
		assert.ErrorContains(t, err, says)
		assert.NotContains(t, err.Error(), "struct", "the types of the program are nobody's business")
		assert.NotContains(t, err.Error(), "U+")
	}
	assert.NoError(t, Decode("f.toml", []byte("name = \"x\"\n"), &v))
	assert.Equal(t, "x", v.Name)
}

// What Quoted writes the decoder reads back (TOML 1.0.0, String: basic strings).
func TestQuoted(t *testing.T) {
	for _, s := range []string{"", "NaOH 1 M", `a "b" \ c`, "tab\there", "µL · 5", "\x7f"} {
		var v card
		require.NoError(t, Decode("f.toml", []byte("name = "+Quoted(s)+"\n"), &v), "%q", s)
		assert.Equal(t, s, v.Name)
	}
}

// A file that cannot be written anew leaves the old one as it was, and nothing else.
func TestExchange(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "a.toml")
	require.NoError(t, Exchange(path, []byte("one"), 0o600))
	require.NoError(t, Exchange(path, []byte("two"), 0o644))
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "two", string(text))
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o644), info.Mode().Perm())
	require.NoError(t, os.Mkdir(filepath.Join(folder, "b"), 0o755))
	assert.Error(t, Exchange(filepath.Join(folder, "b"), []byte("x"), 0o644), "a folder stands in the way")
	assert.Error(t, Exchange(filepath.Join(folder, "none", "c"), []byte("x"), 0o644))
	left, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Len(t, left, 2, "nothing is left lying about")
}

func TestReadRefuses(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "a.toml")
	require.NoError(t, os.WriteFile(path, []byte("ab\ncd\xff"), 0o600))
	_, err := Read(path, MaxPlan)
	assert.ErrorContains(t, err, "a.toml:2:3: a byte that is not UTF-8 text")
	_, err = Read(path, 3)
	assert.Error(t, err, "too long")
	_, err = Read(folder, MaxPlan)
	assert.Error(t, err, "no ordinary file")
	require.NoError(t, os.WriteFile(path, []byte("x = 1"), 0o600))
	text, err := Read(path, MaxPlan)
	assert.NoError(t, err)
	assert.Equal(t, "x = 1", string(text))
	assert.ErrorIs(t, WriteNew(path, nil), os.ErrExist)
}

// TestNothingIsWrittenOverAJournal: a page, a table or a figure is not put in the place of
// the record of a run, nor of a plan, whatever its name; of its own kind it is.
func TestNothingIsWrittenOverAJournal(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{"run.jsonl": "x", "RUN.JSONL": "x", "plan.toml": "x", "run.txt": `{"seq":1,"at":"2026"}`} {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		err := Create(path, true, func(w io.Writer) error { _, err := io.WriteString(w, "page"); return err })
		require.ErrorContains(t, err, "is not written over", name)
		still, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, text, string(still))
	}
	for name, text := range map[string]string{"run.html": "old page", "run.csv": "", "new.jsonl": ""} {
		path := filepath.Join(dir, name)
		if text != "" {
			require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		}
		require.NoError(t, Create(path, true, func(w io.Writer) error { _, err := io.WriteString(w, "page"); return err }), name)
		now, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, "page", string(now))
	}
}

// TestTheFolderIsMissing: what could not be made says that its folder is not there, by any
// way of writing.
func TestTheFolderIsMissing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "none", "x.html")
	for name, err := range map[string]error{
		"create":   Create(path, true, func(io.Writer) error { return nil }),
		"new":      WriteNew(path, nil),
		"exchange": Exchange(path, nil, 0o600),
	} {
		require.ErrorContains(t, err, "x.html: there is no folder ", name)
	}
}
