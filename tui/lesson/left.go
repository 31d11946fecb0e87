package lesson

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/run/keep"
)

// leftRun is a run of an exercise that was left before its end.
type leftRun struct {
	keep.Kept
	exercise *practice.Exercise
}

// unfinished are the runs of a folder that can be gone on with, the latest first: those of
// the operator, or of nobody, where one is named, since a class may share a folder, and none
// that goes on at another seat.
func (f *Lesson) unfinished(folder string) []leftRun {
	open, err := keep.Unfinished(folder)
	if err != nil {
		return nil
	}
	var out []leftRun
	for _, k := range open {
		if f.Operator != "" && k.Operator != "" && !strings.EqualFold(k.Operator, f.Operator) || journal.Busy(k.Path) {
			continue
		}
		var name string
		var seed uint64
		if n, _ := fmt.Sscanf(k.Source, "practice %s seed %d", &name, &seed); n != 2 {
			continue
		}
		e, err := practice.Find(strings.TrimSuffix(name, ","))
		if err != nil {
			continue
		}
		out = append(out, leftRun{k, e})
	}
	return out
}

// GoOn goes on with a run that was left: the one named, else the latest of the folder,
// on the screen or in lines.
func (f *Lesson) GoOn(ctx context.Context, at Terminal, onScreen bool, args []string) error {
	path, err := f.whichLeft(args)
	if err != nil {
		return err
	}
	old, err := replay.Open(path)
	if err != nil {
		return err
	}
	slip, err := practice.SlipOf(old.First)
	if err != nil {
		return remedy.With(fmt.Errorf("%s: %w", path, err), "halfdrop titrate --resume resumes other runs")
	}
	e, err := slip.Open()
	if err != nil {
		return err
	}
	if onScreen {
		_, err := f.once(ctx, picked{e, path})
		return f.closed(path, err)
	}
	path, err = f.takeUp(ctx, path, func() practiceFront {
		fmt.Fprintf(at.Out, "%s resumes where it was left, at %s. %s\n", e.Title, phrase.Clock(old.Seconds()), e.Goal)
		return &lineFront{Terminal: at, look: f.Look}
	})
	return f.after(path, err, at)
}

// whichLeft is the journal named, else that of the latest run that was left.
func (f *Lesson) whichLeft(args []string) (string, error) {
	folder, err := f.journals()
	switch {
	case err != nil:
		return "", err
	case len(args) > 0:
		return args[0], nil
	}
	open := f.unfinished(folder)
	if len(open) == 0 {
		of := ""
		if f.Operator != "" {
			of = " of " + f.Operator
		}
		return "", remedy.With(fmt.Errorf("no exercise%s in %s was left unfinished", of, folder), "name a journal: halfdrop practice --resume FILE")
	}
	return open[0].Path, nil
}

// closed explains that a run that was closed cannot be gone on with.
func (f *Lesson) closed(path string, err error) error {
	if errors.Is(err, practice.ErrEnded) {
		return remedy.With(fmt.Errorf("%s: %w", path, practice.ErrEnded), "halfdrop replay "+path+" looks back on it; the exercise can be done again")
	}
	return err
}

// after tells what came of a run in lines.
func (f *Lesson) after(path string, err error, at Terminal) error {
	if errors.Is(err, errPaused) {
		fmt.Fprintf(at.Talk, "halfdrop: %v: halfdrop practice --resume %s\n", err, path)
		return nil
	}
	if err != nil {
		return f.closed(path, err)
	}
	fmt.Fprintf(at.Talk, "halfdrop: recorded in %s\n", path)
	res, err := judged(path)
	if err != nil {
		return err
	}
	f.note(path, res)
	return res.WriteText(intake.NewWriter(at.Out))
}
