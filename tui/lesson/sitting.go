// Package lesson does exercises with a person: the choice of one, its story, the bench
// and a calibration where it asks for one, the run, the debrief and the moment that
// mattered, on screens or in lines of text.
package lesson

import (
	"context"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strconv"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/class"
	"example.org/halfdrop/meter/practice/score"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/terminal"
)

// ListExercises lists them by steps, with what each teaches, the best result so far,
// and what is to be done next.
func (f *Lesson) ListExercises(out io.Writer) error {
	all, err := practice.Exercises()
	if err != nil {
		return err
	}
	stands := class.NewStanding()
	folder, err := f.journals()
	if err == nil {
		stands = class.Stands(folder)
	}
	step := 0
	for _, e := range all {
		if e.Level != step {
			step = e.Level
			fmt.Fprintf(out, "Step %d: %s\n", step, practice.StepName(step))
		}
		best := ""
		if p, ok := stands.Best[e.Name]; ok {
			best = fmt.Sprintf("  (best %.0f)", p)
		}
		fmt.Fprintf(out, "  %2d  %-21s  %-4s  %s%s\n", e.Number, e.Name, e.Coach, e.Teaches, best)
	}
	if next, why := stands.Next(all); next != nil {
		fmt.Fprintf(out, "Next for you: %d, %s (%s)\n", next.Number, next.Name, why)
	} else {
		fmt.Fprintf(out, "%s.\n", phrase.UpperFirst(why))
	}
	if err == nil {
		for _, k := range f.unfinished(folder) {
			fmt.Fprintf(out, "Left at %s: halfdrop practice --resume %s\n", phrase.Clock(k.Seconds), k.Path)
		}
	}
	return nil
}

// Lesson is how exercises are done: with which settings where those of the exercise are
// not wanted, by whom, and where the journals go.
type Lesson struct {
	Coach    string  // full, ask or off; empty for that of the exercise
	Speed    float64 // simulated seconds in one; 0 for that of the exercise
	Seed     string  // a number, or own; empty for that of the exercise
	Operator string
	Folder   string       // of the journals; empty for the one in the data folder
	Bench    shelf.Memory // of the simulated bench; nowhere unless a file is named
	Program  string       // with its version, for the record
	Look     terminal.Options
}

// Terminal is where a lesson is done in lines of text.
type Terminal struct {
	In        io.Reader
	Out, Talk io.Writer
}

// sitting is how an exercise is to be done.
type sitting struct {
	e     *practice.Exercise
	coach practice.Coaching
	speed float64
	seed  uint64
}

// sitting takes the exercise's own settings where the command line gave none.
func (f *Lesson) sitting(e *practice.Exercise) sitting {
	s := sitting{e: e, coach: e.Coach, speed: math.Max(e.Speed, 0.1), seed: e.Seed}
	if e.Speed == 0 {
		s.speed = 1
	}
	if f.Coach != "" {
		s.coach = practice.Coaching(f.Coach)
	}
	if f.Speed != 0 {
		s.speed = f.Speed
	}
	switch {
	case f.Seed == "own":
		s.seed = practice.OwnSeed(f.Operator)
	case f.Seed != "":
		s.seed, _ = strconv.ParseUint(f.Seed, 10, 64) // checked in usage
	}
	return s
}

// journals is the folder of the results.
func (f *Lesson) journals() (string, error) {
	if f.Folder != "" {
		return f.Folder, nil
	}
	runs, err := journal.DefaultFolder()
	if err != nil {
		return "", remedy.With(err, "name a folder with --folder")
	}
	return filepath.Join(filepath.Dir(runs), "practice"), nil
}

// InLines does one exercise in lines of text.
func (f *Lesson) InLines(ctx context.Context, at Terminal, e *practice.Exercise) error {
	s := f.sitting(e)
	t := s.task()
	at.Out = terminal.Lines(at.Out)
	fmt.Fprintf(at.Out, "%s, %s. %s\n%s\n", t.Title, t.Facts, t.Story, t.Goal)
	for _, line := range t.Bench {
		fmt.Fprintln(at.Out, line)
	}
	fmt.Fprintln(at.Out, keyrow.Caution)
	path, err := f.sit(ctx, s, &lineFront{Terminal: at, look: f.Look})
	return f.after(path, err, at)
}

// note keeps the points for the list; a folder that cannot be written to is no harm.
func (f *Lesson) note(path string, res score.Result) {
	_ = class.Note(filepath.Dir(path), res)
}
