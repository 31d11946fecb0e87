package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/run"
	"github.com/spf13/cobra"
)

// leftRun is a run of an exercise that was left before its end.
type leftRun struct {
	run.Kept
	exercise *practice.Exercise
	title    string
}

// unfinished are the runs of a folder that can be gone on with, the latest first.
func (f *practiceFlags) unfinished(folder string) []leftRun {
	open, err := run.Unfinished(folder)
	if err != nil {
		return nil
	}
	var out []leftRun
	for _, k := range open {
		var name string
		var seed uint64
		if n, _ := fmt.Sscanf(k.Source, "practice %s seed %d", &name, &seed); n != 2 {
			continue
		}
		e, err := practice.Find(trimComma(name))
		if err != nil {
			continue
		}
		out = append(out, leftRun{k, e, e.Title})
	}
	return out
}

func trimComma(name string) string {
	if n := len(name); n > 0 && name[n-1] == ',' {
		return name[:n-1]
	}
	return name
}

// goOn goes on with a run that was left: the one named, else the latest of the folder.
func (f *practiceFlags) goOn(ctx context.Context, cmd *cobra.Command, args []string) error {
	folder, err := f.journals()
	if err != nil {
		return err
	}
	path := ""
	if len(args) > 0 {
		path = args[0]
	} else if open := f.unfinished(folder); len(open) > 0 {
		path = open[0].Path
	} else {
		return withHint(fmt.Errorf("no exercise in %s was left before its end", folder), "name a journal: halfdrop practice --resume FILE")
	}
	old, err := replay.Open(path)
	if err != nil {
		return err
	}
	slip, err := practice.SlipOf(old.First)
	if err != nil {
		return withHint(fmt.Errorf("%s: %w", path, err), "halfdrop titrate --resume goes on with other runs")
	}
	e, err := slip.Open()
	if err != nil {
		return err
	}
	if f.onScreen(cmd) {
		_, err := f.once(ctx, picked{e, path})
		return f.closed(path, err)
	}
	out := cmd.OutOrStdout()
	path, err = f.takeUp(ctx, path, func(practice.Left) practiceFront {
		fmt.Fprintf(out, "%s goes on where it was left, at %s. %s\n", e.Title, replay.Clock(old.Seconds()), e.Goal)
		return &lineFront{in: cmd.InOrStdin(), out: out, talk: cmd.ErrOrStderr()}
	})
	return f.after(path, err, out, cmd.ErrOrStderr())
}

// closed explains that a run that was closed cannot be gone on with.
func (f *practiceFlags) closed(path string, err error) error {
	if errors.Is(err, practice.ErrEnded) {
		return withHint(fmt.Errorf("%s: %w", path, practice.ErrEnded), "halfdrop replay "+path+" looks back on it; the exercise can be done once more")
	}
	return err
}

// after tells what came of a run in lines.
func (f *practiceFlags) after(path string, err error, out, talk io.Writer) error {
	if errors.Is(err, errPaused) {
		fmt.Fprintf(talk, "halfdrop: %v: halfdrop practice --resume %s\n", err, path)
		return nil
	}
	if err != nil {
		return f.closed(path, err)
	}
	fmt.Fprintf(talk, "halfdrop: recorded in %s\n", path)
	res, err := judged(path)
	if err != nil {
		return err
	}
	f.note(path, res)
	return res.WriteText(intake.NewWriter(out))
}
