package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// configured is a command line of the program with a file of defaults.
func configured(t *testing.T, content string, args ...string) (out, errs string, code int) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "config.toml")
	require.NoError(t, os.WriteFile(path, []byte(content), 0o600))
	c := program(t, args...)
	c.Env = append(c.Env, configEnv+"="+path)
	var o, e strings.Builder
	c.Stdout, c.Stderr = &o, &e
	if err := c.Run(); err != nil {
		require.NotNil(t, c.ProcessState, "%v", err)
	}
	return o.String(), strings.ReplaceAll(e.String(), path, "FILE"), c.ProcessState.ExitCode()
}

// TestDefaultsAreStrict: a slip in the file is said with its place and what
// would be right, before anything else happens.
func TestDefaultsAreStrict(t *testing.T) {
	for _, c := range []struct{ content, errs string }{
		{"operatr = \"x\"\n", "FILE:1:1: unknown key \"operatr\"\nhalfdrop: hint: known are operator, port, mode, query, dialect, meter, channel, electrode, plain, bell, ascii\n"},
		{"\nplain = yes\n", "FILE:2:9: unexpected character U+0079 'y' at start of value\nhalfdrop: hint: a text value needs quotes; true and false need none\n"},
	} {
		_, errs, code := configured(t, c.content, "ports")
		assert.Equal(t, "halfdrop: error: "+c.errs, errs)
		assert.Equal(t, exitUsage, code)
	}
}

// TestFlagsWinOverDefaults uses a port that does not exist: the message says
// which one was tried.
func TestFlagsWinOverDefaults(t *testing.T) {
	plan := filepath.Join(t.TempDir(), "plan.toml")
	require.NoError(t, os.WriteFile(plan, demoPlan, 0o600))
	dir := t.TempDir()
	from := "port = \"" + filepath.ToSlash(filepath.Join(dir, "from-file")) + "\"\nplain = true\n"
	_, errs, code := configured(t, from, "titrate", "--plan", plan, "--journal", filepath.Join(dir, "a.jsonl"))
	assert.NotEqual(t, exitOK, code)
	assert.Contains(t, errs, "from-file", "the file says which port")
	_, errs, code = configured(t, from, "titrate", "--plan", plan, "--journal", filepath.Join(dir, "b.jsonl"), "--port", filepath.Join(dir, "from-flag"))
	assert.NotEqual(t, exitOK, code)
	assert.Contains(t, errs, "from-flag")
	assert.NotContains(t, errs, "from-file")
	_, errs, _ = configured(t, from, "titrate", "--sim", "--port", "x")
	assert.Contains(t, errs, "--sim and --port exclude each other", "what was typed is still judged")
}

// TestDefaultsAreFlags: every default is a flag of some command.
func TestDefaultsAreFlags(t *testing.T) {
	known := map[string]bool{}
	var walk func(c *cobra.Command)
	walk = func(c *cobra.Command) {
		for _, key := range (defaults{}).keys() {
			known[key] = known[key] || c.Flags().Lookup(key) != nil || c.PersistentFlags().Lookup(key) != nil
		}
		for _, sub := range c.Commands() {
			walk(sub)
		}
	}
	walk(newRootCommand())
	for _, key := range (defaults{}).keys() {
		assert.True(t, known[key], "no command has --%s", key)
		assert.Contains(t, string(configTemplate), "# "+key+" = ", "the template explains it")
	}
}

// TestTemplateSetsNothing: the file that --create writes changes nothing, and
// without its marks it is valid.
func TestTemplateSetsNothing(t *testing.T) {
	d, err := decodeDefaults("template", configTemplate)
	require.NoError(t, err)
	require.Empty(t, d.values())
	var lines []string
	for line := range strings.SplitSeq(string(configTemplate), "\n") {
		if strings.Contains(line, " = ") {
			line = strings.TrimPrefix(line, "# ")
		}
		lines = append(lines, line)
	}
	d, err = decodeDefaults("template", []byte(strings.Join(lines, "\n")))
	require.NoError(t, err)
	require.Len(t, d.values(), len(d.keys()))
}

// TestPagesAndCompletion: a page for every command, and completion for the
// four shells.
func TestPagesAndCompletion(t *testing.T) {
	dir := t.TempDir()
	_, errs, code := configured(t, "", "man", "--dir", dir)
	require.Equal(t, exitOK, code, errs)
	for _, c := range newRootCommand().Commands() {
		if c.Hidden || c.Name() == "completion" || c.Name() == "help" {
			continue
		}
		page, err := os.ReadFile(filepath.Join(dir, "halfdrop-"+c.Name()+".1"))
		if assert.NoError(t, err) {
			assert.Contains(t, string(page), ".TH", c.Name())
		}
	}
	out, _, code := configured(t, "", "man", "titrate")
	require.Equal(t, exitOK, code)
	assert.Contains(t, out, "safety data")
	_, errs, code = configured(t, "", "man", "titrat")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, errs, `no command "titrat"`)
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		out, _, code := configured(t, "", "completion", shell)
		assert.Equal(t, exitOK, code, shell)
		assert.Contains(t, out, "halfdrop", shell)
	}
}

// TestFlagsAreOffered asks the way a shell does.
func TestFlagsAreOffered(t *testing.T) {
	for _, c := range []struct{ command, flag, word string }{
		{"trial", "--tier", "harsh"}, {"practice", "--coach", "ask"}, {"titrate", "--port", "auto"}, {"plan", "--buffer", "HEPES"},
	} {
		out, _, code := configured(t, "", "__complete", c.command, c.flag, "")
		assert.Equal(t, exitOK, code)
		assert.Contains(t, strings.Split(out, "\n"), c.word, c.flag)
	}
}
