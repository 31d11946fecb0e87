package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
	"github.com/spf13/cobra"
)

func newReplayCommand() *cobra.Command {
	p := &replayer{}
	c := &cobra.Command{
		Use:   "replay FILE",
		Short: "Look back on a run: step through it, where it overshot, and why",
		Long: `Steps through the journal of a run: curve, readings and additions as they came,
the advice of each moment beside what was done. Every overshoot is explained,
with what would have been safe on what was known then. The file is only read.`,
		Example: "  halfdrop replay run.jsonl\n  halfdrop replay --summary run.jsonl",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return p.run(cmd, args[0])
		},
	}
	f := c.Flags()
	f.BoolVar(&p.summary, "summary", false, "print what happened, and do not step through it")
	f.BoolVar(&p.json, "json", false, "the same as one JSON object")
	return c
}

// replayer is what the command line asks for.
type replayer struct {
	summary, json bool
}

func (p *replayer) run(cmd *cobra.Command, path string) error {
	if p.summary && p.json {
		return usageError(errors.New("--summary and --json exclude each other"), "leave one out")
	}
	r, err := openRun(path)
	if err != nil {
		return err
	}
	if r.Tail.Torn() {
		fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: the end of %s is torn and left out: %s\n", path, r.Tail.Why)
	}
	return p.print(cmd.OutOrStdout(), r)
}

func (p *replayer) print(out io.Writer, r *replay.Run) error {
	v := r.Review()
	if p.json {
		return writeJSON(out, v)
	}
	return v.WriteText(out)
}

func writeJSON(out io.Writer, v any) error {
	b, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return err
	}
	_, err = out.Write(append(b, '\n'))
	return err
}

// openRun reads a journal; one that is damaged ends with the status for that.
func openRun(path string) (*replay.Run, error) {
	r, err := replay.Open(path)
	var damage *journal.DamageError
	switch {
	case err == nil:
		return r, nil
	case errors.As(err, &damage):
		return nil, &exitError{code: exitDamaged, err: err, hints: []string{"halfdrop check " + path + " names every fault"}}
	case errors.Is(err, journal.ErrStart):
		return nil, withHint(errors.New(strings.TrimPrefix(err.Error(), "replay: ")), "this is no journal of halfdrop")
	}
	return nil, err
}
