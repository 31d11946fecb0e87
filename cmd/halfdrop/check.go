package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/textfile"
)

func newCheckCommand() *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "check FILE [FILE…]",
		Short: "Verify journals: every fault with its line and byte",
		Long: `Reads journals to their end and says of each whether it is sound. Every fault is
named with its line (1 is the first) and the byte that line begins on. Nothing
is ever written. The exit status is 4 when a journal is damaged.

A changed, lost, added or moved line shows. That whole lines were cut off the
end shows only by the last sum, if it was noted elsewhere.`,
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
	list := []checkedJSON{}
	var unread []error
	var damaged, hints []string
	for _, name := range files {
		r, err := journal.CheckFile(name)
		if err != nil {
			unread = append(unread, err)
			continue
		}
		v := verdict{r, name}
		if list = append(list, v.json()); !asJSON {
			v.print(out)
		}
		if !v.Sound() {
			damaged = append(damaged, name)
			hints = append(hints, v.remedy())
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

// verdict is what was found in one file.
type verdict struct {
	journal.Report
	name string
}

func (v verdict) print(out io.Writer) {
	for _, f := range v.Faults {
		fmt.Fprintf(out, "%s: %v\n", v.name, f)
	}
	for _, n := range v.Notes {
		fmt.Fprintf(out, "%s: note: %v\n", v.name, n)
	}
	if !v.Sound() {
		fmt.Fprintf(out, "%s: damaged: %s in %s\n", v.name, phrase.Counted(len(v.Faults), "fault"), phrase.Counted(v.Lines, "line"))
		return
	}
	additions, end := phrase.Counted(v.Additions, "addition"), "not ended"
	if v.Withdrawn > 0 {
		additions += fmt.Sprintf(" (%d withdrawn)", v.Withdrawn)
	}
	if v.Ended {
		end = "ended"
	}
	fmt.Fprintf(out, "%s: sound: %s, %s, %s, %s, last sum %s\n",
		v.name, phrase.Counted(v.Events, "event"), additions, phrase.Lasting(v.Seconds), end, v.Sum)
}

// remedy is what to try with the damaged file.
func (v verdict) remedy() string {
	name := v.name
	tail, err := journal.ScanFile(name, func(journal.Event) error { return nil })
	var damage *journal.DamageError
	switch {
	case err == nil && tail.Torn():
		return fmt.Sprintf("%s: the %s before byte %d are sound; going on with the run sets the torn end aside in a second file", name, phrase.Counted(tail.Events, "event"), tail.Good)
	case err == nil:
		return name + ": its lines are as they were written; what wrote them was at fault"
	case errors.As(err, &damage) && damage.Offset > 0:
		return fmt.Sprintf("%s: the first %d bytes are sound; to go on from there, copy them to a new file (head -c %d), and keep this one", name, damage.Offset, damage.Offset)
	case errors.Is(err, journal.ErrFormat):
		return name + ": use the version of halfdrop that wrote it, or a newer one"
	}
	return name + ": no part of it can be used; is it a journal of halfdrop at all?"
}
