package manners

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"regexp"
	"runtime"
	"strings"

	"example.org/halfdrop/meter/phrase"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/term"
	"github.com/mattn/go-isatty"
	"github.com/spf13/cobra"
)

// Paged writes text to standard output, through the pager when that is a terminal
// and the text is longer than it is high. On a terminal, lines that are wider than it
// are broken between words.
func Paged(cmd *cobra.Command, write func(io.Writer) error) error {
	out := cmd.OutOrStdout()
	f, ok := out.(*os.File)
	if !ok || !isatty.IsTerminal(f.Fd()) {
		return write(out)
	}
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	columns, rows, err := term.GetSize(f.Fd())
	if err == nil {
		folded := hanging(b.String(), columns)
		b.Reset()
		b.WriteString(folded)
	}
	words := pagerWords(os.Getenv)
	if err != nil || bytes.Count(b.Bytes(), []byte("\n")) < rows || len(words) == 0 {
		_, err := out.Write(b.Bytes())
		return err
	}
	pager := exec.Command(words[0], words[1:]...)
	pager.Stdin, pager.Stdout, pager.Stderr = bytes.NewReader(b.Bytes()), f, os.Stderr
	if os.Getenv("LESS") == "" {
		pager.Env = append(os.Environ(), "LESS=FRX") // as long as the screen is high: print it and be gone
	}
	if err := pager.Start(); err != nil { // there is none: the text is what was wanted
		_, err := out.Write(b.Bytes())
		return err
	}
	return pager.Wait()
}

// hanging breaks the lines of a text that are wider than a terminal between words; what
// goes on hangs below the last column of a table, or below the first word.
func hanging(text string, width int) string {
	if width < 20 || strings.HasPrefix(text, "{") || strings.HasPrefix(text, "[") { // JSON stays as it is
		return text
	}
	var out strings.Builder
	for line := range strings.Lines(text) {
		bare := strings.TrimSuffix(line, "\n")
		if lipgloss.Width(bare) <= width {
			out.WriteString(line)
			continue
		}
		at := len(bare) - len(strings.TrimLeft(bare, " "))
		if gaps := columnGap.FindAllStringIndex(bare, -1); len(gaps) > 0 {
			for _, g := range gaps {
				if lipgloss.Width(bare[:g[1]]) <= width/2 {
					at = max(at, g[1])
				}
			}
		}
		head, pad := bare[:at], strings.Repeat(" ", lipgloss.Width(bare[:at]))
		for i, part := range phrase.Wrap(bare[at:], width-len(pad)) {
			if i > 0 {
				head = pad
			}
			out.WriteString(head + part + "\n")
		}
	}
	return out.String()
}

// columnGap stands between the columns of a table.
var columnGap = regexp.MustCompile(` {2,}`)

// pagerWords is the pager and its arguments: PAGER, or less or more where that says
// nothing; none when PAGER is empty or cat.
func pagerWords(env func(string) string) []string {
	if p, set := os.LookupEnv("PAGER"); set || env("PAGER") != "" {
		words, err := phrase.Words(p)
		if err != nil || len(words) == 0 || words[0] == "cat" {
			return nil
		}
		return words
	}
	if runtime.GOOS == "windows" {
		return nil // its more keeps no colours and no place
	}
	for _, name := range []string{"less", "more"} {
		if path, err := exec.LookPath(name); err == nil {
			return []string{path}
		}
	}
	return nil
}
