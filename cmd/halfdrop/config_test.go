package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/planfile"

	"github.com/charmbracelet/lipgloss"
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
	c.Env = append(c.Env, manners.ConfigEnv+"="+path)
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
		{"operatr = \"x\"\n", "FILE:1:1: unknown key \"operatr\"\nhalfdrop: hint: known are operator, port, mode, query, dialect, meter, channel, electrode, plain, bell, ascii, speak, background\n"},
		{"\nplain = yes\n", "FILE:2:9: unexpected character U+0079 'y' at start of value\nhalfdrop: hint: a text value needs quotes; true and false need none\n"},
	} {
		_, errs, code := configured(t, c.content, "ports")
		assert.Equal(t, "halfdrop: error: "+c.errs, errs)
		assert.Equal(t, manners.ExitUsage, code)
	}
}

// TestFlagsWinOverDefaults uses a port that does not exist: the message says
// which one was tried.
func TestFlagsWinOverDefaults(t *testing.T) {
	plan := filepath.Join(t.TempDir(), "plan.toml")
	require.NoError(t, os.WriteFile(plan, planfile.Demo, 0o600))
	dir := t.TempDir()
	from := "port = \"" + filepath.ToSlash(filepath.Join(dir, "from-file")) + "\"\nplain = true\n"
	_, errs, code := configured(t, from, "titrate", "--plan", plan, "--journal", filepath.Join(dir, "a.jsonl"))
	assert.NotEqual(t, manners.ExitOK, code)
	assert.Contains(t, errs, "from-file", "the file says which port")
	_, errs, code = configured(t, from, "titrate", "--plan", plan, "--journal", filepath.Join(dir, "b.jsonl"), "--port", filepath.Join(dir, "from-flag"))
	assert.NotEqual(t, manners.ExitOK, code)
	assert.Contains(t, errs, "from-flag")
	assert.NotContains(t, errs, "from-file")
	_, errs, _ = configured(t, from, "titrate", "--sim", "--port", "x")
	assert.Contains(t, errs, "--sim and --port exclude each other", "what was typed is still judged")
}

// TestMissingDefaults: a file of defaults that was named and is not there is said, by the
// commands that would take something out of it; the usual one need not exist.
func TestMissingDefaults(t *testing.T) {
	for line, said := range map[string]bool{"ports": true, "config": false, "help": false, "completion bash": false, "__complete ports ": false, "man titrate": false} {
		c := program(t, strings.Split(line, " ")...)
		c.Env = append(c.Env, manners.ConfigEnv+"=/nowhere/c.toml")
		var errs strings.Builder
		c.Stderr = &errs
		require.NoError(t, c.Run(), line)
		assert.Equal(t, said, strings.Contains(errs.String(), "halfdrop: note: HALFDROP_CONFIG: there is no file /nowhere/c.toml, so no defaults are used"), "%s: %s", line, errs.String())
	}
	c := program(t, "ports")
	c.Env = append(c.Env, manners.ConfigEnv+"=", "XDG_CONFIG_HOME="+t.TempDir())
	var errs strings.Builder
	c.Stderr = &errs
	require.NoError(t, c.Run())
	assert.NotContains(t, errs.String(), "defaults")
}

// TestDefaultsAreFlags: every default is a flag of some command.
func TestDefaultsAreFlags(t *testing.T) {
	known := map[string]bool{}
	var walk func(c *cobra.Command)
	walk = func(c *cobra.Command) {
		for _, key := range manners.DefaultKeys() {
			known[key] = known[key] || c.Flags().Lookup(key) != nil || c.PersistentFlags().Lookup(key) != nil
		}
		for _, sub := range c.Commands() {
			walk(sub)
		}
	}
	walk(newRootCommand())
	for _, key := range manners.DefaultKeys() {
		assert.True(t, known[key], "no command has --%s", key)
	}
}

// TestPagesAndCompletion: a page for every command, and completion for the
// four shells.
func TestPagesAndCompletion(t *testing.T) {
	dir := t.TempDir()
	_, errs, code := configured(t, "", "man", "--dir", dir)
	require.Equal(t, manners.ExitOK, code, errs)
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
	require.Equal(t, manners.ExitOK, code)
	assert.Contains(t, out, "safety data")
	for _, part := range []string{"NAME", "SYNOPSIS", "DESCRIPTION", "OPTIONS", "EXAMPLES", "EXIT STATUS", "FILES", "ENVIRONMENT", "SEE ALSO"} {
		assert.Contains(t, out, ".SH "+part+"\n")
	}
	assert.NotContains(t, out, "\n'", "no line that troff takes for a request")
	pages, err := filepath.Glob(filepath.Join(dir, "*.1"))
	require.NoError(t, err)
	for _, path := range pages {
		page, err := os.ReadFile(path)
		require.NoError(t, err)
		_, examples, _ := strings.Cut(string(page), ".nf\n")
		examples, _, _ = strings.Cut(examples, ".fi\n")
		for line := range strings.Lines(examples) {
			line = strings.NewReplacer(`\-`, "-", `\e`, `\`, "\n", "").Replace(line)
			assert.LessOrEqual(t, lipgloss.Width(line), 80, "%s: %s", path, line)
		}
	}
	_, errs, code = configured(t, "", "man", "titrat")
	assert.Equal(t, manners.ExitUsage, code)
	assert.Contains(t, errs, `no command "halfdrop titrat"`)
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		out, _, code := configured(t, "", "completion", shell)
		assert.Equal(t, manners.ExitOK, code, shell)
		assert.Contains(t, out, "halfdrop", shell)
	}
}

// TestBashCompletesAlone: the script does its work in a bash that has no package of
// completions, and what a shell shows beside a flag has no quotes round the name of its value.
func TestBashCompletesAlone(t *testing.T) {
	out, _, _ := configured(t, "", "__complete", "titrate", "--pl")
	assert.Contains(t, out, "--plan\tplan file (TOML)\n")
	bash, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("NOT RUN: the script of bash in bash itself, there is none on this machine")
	}
	script, _, _ := configured(t, "", "completion", "bash")
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "script"), []byte(script), 0o600))
	exe, err := os.Executable()
	require.NoError(t, err)
	require.NoError(t, os.Symlink(exe, filepath.Join(dir, "halfdrop")))
	c := exec.Command(bash, "--norc", "--noprofile", "-c", `source "$1/script" || exit 3
compopt() { :; }
COMP_WORDS=(halfdrop plan --avoid ""); COMP_CWORD=3; COMP_LINE="halfdrop plan --avoid "; COMP_POINT=${#COMP_LINE}; COMP_TYPE=9
__start_halfdrop; printf '%s\n' "${COMPREPLY[@]}"`, "bash", dir)
	c.Env = append(os.Environ(), "PATH="+dir+string(os.PathListSeparator)+os.Getenv("PATH"), programEnv+"=1", manners.ConfigEnv+"="+os.DevNull)
	said, err := c.CombinedOutput()
	require.NoError(t, err, "%s", said)
	assert.Contains(t, strings.Split(string(said), "\n"), "metals", "%s", said)
	assert.NotContains(t, string(said), "not found")
}

// TestFlagsAreOffered asks the way a shell does.
func TestFlagsAreOffered(t *testing.T) {
	for _, c := range []struct{ command, flag, word string }{
		{"trial", "--tier", "harsh"}, {"practice", "--coach", "ask"}, {"titrate", "--port", "auto"}, {"plan", "--buffer", "HEPES"},
		{"trial", "--tier", "laboratory"}, {"trial", "--strategies", "coach"}, {"plan", "--avoid", "metals"}, {"titrate", "--background", "light"},
		{"replay", "--volume-is", "each"}, {"replay", "--of", "acetic acid"}, {"practice", "--seed", "own"},
	} {
		out, _, code := configured(t, "", "__complete", c.command, c.flag, "")
		assert.Equal(t, manners.ExitOK, code)
		assert.Contains(t, strings.Split(out, "\n"), c.word, c.flag)
	}
}

// TestListsAreOffered: after a comma the rest is offered, and no word twice.
func TestListsAreOffered(t *testing.T) {
	out, _, _ := configured(t, "", "__complete", "plan", "--avoid", "metals,")
	assert.Contains(t, strings.Split(out, "\n"), "metals,uv")
	assert.NotContains(t, out, "metals,metals")
	out, _, _ = configured(t, "", "__complete", "practice", "")
	assert.Contains(t, strings.Split(out, "\n"), "first-buffer")
	out, _, _ = configured(t, "", "__complete", "man", "tit")
	assert.Contains(t, out, "titrate\t")
}

// TestHelpOfItsOwn: every command says how it is called, has an example and no line
// wider than a terminal; no flag's value is named by a type of the language.
func TestHelpOfItsOwn(t *testing.T) {
	var walk func(c *cobra.Command)
	walk = func(c *cobra.Command) {
		if c.Name() == "completion" {
			return // in the words of the library
		}
		var b strings.Builder
		manners.WriteHelp(&b, c)
		text := b.String()
		assert.Contains(t, text, "\nUse\n  halfdrop", c.CommandPath())
		for line := range strings.SplitSeq(text, "\n") {
			assert.LessOrEqual(t, lipgloss.Width(line), manners.HelpWidth, "%s: %s", c.CommandPath(), line)
		}
		assert.NotRegexp(t, `(?i)\b(string|stringToString|float64|float64Slice|uint|stringArray|NaN)\b`, strings.Join(strings.Fields(text), " "), c.CommandPath())
		if c.Name() != "help" {
			assert.NotEmpty(t, c.Example, "%s has no example", c.CommandPath())
		}
		for _, sub := range c.Commands() {
			walk(sub)
		}
	}
	for line, want := range map[string][]string{
		"plan":    {"--temp °C ", "--drop-ul µL ", "--mM mM ", "--ph PH "},
		"replay":  {"--ph COLUMN ", "--drop-ul µL ", "--molar mol/L ", "--run NUMBER ", "--volume-is WHAT ", "--molar-sd % "},
		"ports":   {"--listen PORT "},
		"titrate": {"--ml mL ", "--tolerance PH "},
		"bench":   {"--bench FILE "},
	} {
		c, _, err := newRootCommand().Find([]string{line})
		require.NoError(t, err)
		var page strings.Builder
		manners.WriteHelp(&page, c)
		for _, w := range want {
			assert.Contains(t, page.String(), w, "halfdrop %s --help", line)
		}
	}
	root := newRootCommand()
	walk(root)
	var page strings.Builder
	manners.WriteHelp(&page, root)
	for _, c := range root.Commands() {
		assert.Equal(t, 1, strings.Count(page.String(), "\n  "+c.Name()+" "), "%s stands in one group", c.Name())
	}
}

// TestSlips: what is misspelt, missing or left over is named, with what to try.
func TestSlips(t *testing.T) {
	for line, want := range map[string][2]string{
		"titrat":            {`there is no command "halfdrop titrat"`, "did you mean halfdrop titrate?"},
		"plan droper":       {`there is no command "halfdrop plan droper"`, "did you mean halfdrop plan dropper?"},
		"report":            {"halfdrop report: FILE is missing", "as in halfdrop report"},
		"report a b":        {`"b" is one too many`, "as in halfdrop report"},
		"curve x":           {`"x" is one too many; it takes only flags`, "see halfdrop curve --help"},
		"titrate --prot x":  {"halfdrop titrate has no flag --prot", "did you mean --port?"},
		"plan --ph seven":   {`--ph "seven": it takes a number, with a decimal point`, "see halfdrop plan --help"},
		"titrate --port":    {"--port: its value is missing", "see halfdrop titrate --help"},
		"--background blue": {`--background "blue" is not known`, "auto asks the terminal"},
		"helpp":             {`there is no command "halfdrop helpp"`, "did you mean halfdrop help?"},
		"help foo":          {`there is no command "halfdrop foo"`, "see halfdrop --help"},
		"help find pol":     {`there is no command "halfdrop find pol"`, "did you mean halfdrop find pool?"},
		"help titrate foo":  {`there is no command "halfdrop titrate foo"`, "see halfdrop titrate --help"},
		"man a b":           {`there is no command "halfdrop a"`, "see halfdrop --help"},
		"man --all":         {"halfdrop man has no flag --all", "see halfdrop man --help"},
		"find foo":          {`there is no command "halfdrop find foo"`, "see halfdrop find --help"},
		"titrate -plain":    {"halfdrop titrate has no flag -p", "two dashes: --plain"},
		"-x":                {"halfdrop has no flag -x", "see halfdrop --help"},
		"plan 7.4":          {`there is no command "halfdrop plan 7.4"`, "--ph 7.4"},
		"run.jsonl":         {`there is no command "halfdrop run.jsonl"`, "halfdrop replay run.jsonl"},
		"hepes.toml":        {`there is no command "halfdrop hepes.toml"`, "halfdrop titrate --plan hepes.toml"},
		"log.csv":           {`there is no command "halfdrop log.csv"`, "halfdrop replay log.csv"},
		"ports --for 10":    {`--for "10": it takes a time with its unit, such as 10s or 2m` + "\n", "see halfdrop ports --help"},
		"ports --port x":    {"halfdrop ports has no flag --port", "named with --listen"},
		"find pool":         {"halfdrop find pool: RUN is missing", "as in halfdrop find pool"},
	} {
		_, errs, code := configured(t, "", strings.Fields(line)...)
		assert.Equal(t, manners.ExitUsage, code, line)
		assert.Contains(t, errs, want[0], line)
		assert.Contains(t, errs, want[1], line)
		assert.NotContains(t, errs, "arg(s)")
		assert.NotContains(t, errs, "strconv")
	}
}
