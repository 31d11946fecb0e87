package manners

import (
	"cmp"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/textfile"
	"github.com/spf13/cobra"
)

// pageName is the name of the page of a command.
func pageName(c *cobra.Command) string { return strings.ReplaceAll(c.CommandPath(), " ", "-") }

// WritePages writes the pages of all commands.
func WritePages(cmd *cobra.Command, dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return remedy.With(err, "choose another folder with --dir")
	}
	n := 0
	var write func(c *cobra.Command) error
	write = func(c *cobra.Command) error {
		for _, sub := range c.Commands() {
			if err := write(sub); err != nil {
				return err
			}
		}
		if c.HasParent() && !c.IsAvailableCommand() {
			return nil
		}
		n++
		return textfile.Create(filepath.Join(dir, pageName(c)+".1"), true, func(w io.Writer) error { return WriteManPage(w, c) })
	}
	if err := write(cmd.Root()); err != nil {
		return fmt.Errorf("manual pages: %w", err)
	}
	fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: %d manual pages in %s\n", n, dir)
	return nil
}

// roff makes text harmless for troff: backslashes, and signs at the start of a line.
func roff(text string) string {
	text = strings.NewReplacer(`\`, `\e`, "-", `\-`, "’", "'").Replace(text)
	lines := strings.Split(text, "\n")
	for i, l := range lines {
		if strings.HasPrefix(l, ".") || strings.HasPrefix(l, "'") {
			lines[i] = `\&` + l
		}
	}
	return strings.Join(lines, "\n")
}

// WriteManPage writes the manual page of a command (man(7)). The date is left out, so
// that the same program writes the same pages, and so is the version, whose length
// would run into the name in the middle of the footer.
func WriteManPage(w io.Writer, c *cobra.Command) error {
	var b strings.Builder
	name := pageName(c)
	fmt.Fprintf(&b, ".TH %s 1 \"\" \"halfdrop\" \"Manual of halfdrop\"\n", strings.ToUpper(roff(name)))
	head := func(title string) { b.WriteString(".SH " + title + "\n") }
	head("NAME")
	fmt.Fprintf(&b, "%s \\- %s\n", roff(name), roff(lowerStart(c.Short)))
	head("SYNOPSIS")
	for i, s := range synopsis(c) {
		if i > 0 {
			b.WriteString(".br\n")
		}
		path := c.CommandPath()
		fmt.Fprintf(&b, "\\fB%s\\fR%s\n", roff(path), roff(strings.TrimPrefix(s, path)))
	}
	head("DESCRIPTION")
	long := cmp.Or(c.Long, c.Short+".")
	verbatim(&b, long)
	if c.HasAvailableSubCommands() {
		head("COMMANDS")
		for _, s := range sections(c) {
			if len(s.commands) > 0 && !c.HasParent() {
				b.WriteString(".SS " + s.title + "\n")
			}
			for _, sub := range s.commands {
				fmt.Fprintf(&b, ".TP\n\\fB%s\\fR\n%s\n", roff(sub.CommandPath()), roff(lowerStart(sub.Short)))
			}
		}
	}
	head("OPTIONS")
	for _, f := range append(flagsOf(c.NonInheritedFlags()), flagsOf(c.InheritedFlags())...) {
		fmt.Fprintf(&b, ".TP\n\\fB%s\\fR\n%s\n", roff(f[0]), roff(f[1]))
	}
	if c.Example != "" {
		head("EXAMPLES")
		b.WriteString(".in 0\n.nf\n" + roff(strings.TrimRight(foldCommands(c.Example, HelpWidth-2), "\n")) + "\n.fi\n.in\n")
	}
	for _, part := range []struct {
		title string
		rows  [][2]string
	}{{"EXIT STATUS", exitStatuses}, {"FILES", usedFiles}, {"ENVIRONMENT", usedVariables}} {
		head(part.title)
		for _, r := range part.rows {
			fmt.Fprintf(&b, ".TP\n\\fB%s\\fR\n%s\n", roff(r[0]), roff(r[1]))
		}
	}
	head("SEE ALSO")
	also := phrase.Each(seeAlso(c), func(path string) string { return "\\fB" + roff(strings.ReplaceAll(path, " ", "-")) + "\\fR(1)" })
	b.WriteString(strings.Join(also, ",\n") + "\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// verbatim writes paragraphs; a line that is set in stays a line of its own.
func verbatim(b *strings.Builder, text string) {
	for i, para := range strings.Split(strings.TrimSpace(text), "\n\n") {
		if i > 0 {
			b.WriteString(".PP\n")
		}
		if strings.HasPrefix(para, " ") || strings.Contains(para, "\n  ") {
			b.WriteString(".nf\n" + roff(para) + "\n.fi\n")
			continue
		}
		b.WriteString(roff(para) + "\n")
	}
}
