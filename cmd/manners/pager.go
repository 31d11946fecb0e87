package manners

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"runtime"

	"example.org/halfdrop/meter/phrase"

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
		folded := phrase.Hang(b.String(), columns)
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

// pagerWords is the pager and its arguments: PAGER, or less or more where that says
// nothing; none when PAGER is empty or cat, or where the terminal cannot be written over.
func pagerWords(env func(string) string) []string {
	if p, set := os.LookupEnv("PAGER"); set || env("PAGER") != "" {
		words, err := phrase.Words(p)
		if err != nil || len(words) == 0 || words[0] == "cat" {
			return nil
		}
		return words
	}
	switch {
	case runtime.GOOS == "windows":
		return nil // its more keeps no colours and no place
	case env("TERM") == "dumb":
		return nil // it would begin with a warning and wait for a key
	}
	for _, name := range []string{"less", "more"} {
		if path, err := exec.LookPath(name); err == nil {
			return []string{path}
		}
	}
	return nil
}
