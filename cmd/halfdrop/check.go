package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/textfile"
	"example.org/halfdrop/tui/terminal"
)

func newCheckCommand() *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "check FILE [FILE…]",
		Short: "Verify journals: every fault with its line and byte",
		Long: `Reads each journal to its end and says whether it is sound. Every fault is
named with its line (1 is the first) and the byte that line begins on. Nothing
is ever written. The exit status is 4 when a journal is damaged.

A changed, lost, added or moved line is detected. Lines cut off the end are detected
only by the last sum, if that was noted elsewhere.`,
		Example: "  halfdrop check run.jsonl\n  halfdrop check *.jsonl --json\n  ssh bench cat run.jsonl | halfdrop check -",
		Args:    cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, files []string) error {
			return checkAll(cmd.OutOrStdout(), files, asJSON)
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print one JSON object with what was found in every file")
	return c
}

// checkAll checks every file, also after one that is damaged or cannot be read.
func checkAll(out io.Writer, files []string, asJSON bool) error {
	list := []journal.CheckedJSON{}
	var unread []error
	var damaged, hints []string
	for _, name := range files {
		r, err := journal.CheckFile(name)
		name = manners.Shown(name)
		if err != nil {
			unread = append(unread, err)
			continue
		}
		v := journal.Verdict{Report: r, Name: name}
		switch list = append(list, v.JSON()); {
		case asJSON:
		case r.Events == 0 && r.Lines > 0: // another file altogether: a fault a line says no more
			fmt.Fprintf(terminal.Lines(out), "%s: none of its %s is that of a journal\n", name, phrase.Counted(r.Lines, "line"))
		default:
			v.Print(terminal.Lines(out))
		}
		if !v.Sound() {
			damaged = append(damaged, name)
			hints = append(hints, v.Remedy())
		}
	}
	if asJSON {
		if err := textfile.JSON(out, list); err != nil {
			return err
		}
	}
	if len(damaged) == 0 {
		return errors.Join(unread...)
	}
	what := fmt.Errorf("%s is damaged", damaged[0])
	if len(files) > 1 {
		what = fmt.Errorf("%d of %d journals are damaged", len(damaged), len(files))
	}
	return &remedy.Error{Kind: remedy.Damaged, Err: errors.Join(append(unread, what)...), Hints: hints}
}
