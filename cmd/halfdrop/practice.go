package main

import (
	_ "embed"
	"errors"
	"io"
	"os"
	"os/signal"
	"syscall"

	"github.com/spf13/cobra"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/tui/lesson"
	"example.org/halfdrop/tui/terminal"
)

//go:embed practice_teacher.txt
var teachersPage string

// practiceFlags are what the command line asks for.
type practiceFlags struct {
	file, check, show string
	faults, teacher   bool
	class             lesson.Results
	plain             bool
	resume            bool
	lesson.Lesson
}

func newPracticeCommand() *cobra.Command {
	f := &practiceFlags{}
	c := &cobra.Command{
		Use:   "practice [NAME|NUMBER] | --resume [JOURNAL] | --results FOLDER",
		Short: "Exercises on the simulated bench, with a score and a debrief",
		Long: `Exercises on the simulated bench: real dynamics, real mistakes, a score whose
points are explained, and a replay of the moment that mattered.

Without a name the exercises are listed to choose from, in seven steps, with what
to do next. An exercise keeps its number. The coach can say everything (full),
only answer when asked, which costs points (ask), or say nothing (off). The meter always
shows. A fault is named by what shows it: f, then a reading or an addition, the fault,
and how it shows there.

A run left with x, or by accident, is resumed with --resume.

Results are journals in the practice folder of your data; --results FOLDER makes
the table of a class out of them. Teachers find more with --teacher.`,
		Example: `  halfdrop practice
  halfdrop practice 3 --coach off --speed 4
  halfdrop practice first-buffer --seed own --operator "bench 4"
  halfdrop practice --exercise mine.toml
  halfdrop practice --check mine.toml
  halfdrop practice --resume
  halfdrop practice --results class/ --html class.html
  halfdrop practice --results class/ --pupil "bench 4"`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error { return f.run(cmd, args) },
	}
	fl := c.Flags()
	fl.StringVar(&f.file, "exercise", "", "practise the exercise in this `file`")
	fl.StringVar(&f.check, "check", "", "check the exercise in this `file`, and do nothing else")
	fl.StringVar(&f.show, "show", "", "print the file of the exercise `name`, to start one of your own from")
	fl.BoolVar(&f.faults, "faults", false, "list the faults that an exercise can have")
	fl.BoolVar(&f.teacher, "teacher", false, "print the teacher's notes")
	fl.StringVar(&f.class.Folder, "results", "", "table of the journals in this `folder`")
	fl.StringVar(&f.class.HTML, "html", "", "with --results: write the class as a page into this `file`, with a sheet for each pupil")
	fl.StringVar(&f.class.Pupil, "pupil", "", "with --results: print the page of the pupil of this `name`")
	fl.BoolVar(&f.class.CSV, "csv", false, "with --results: print the table as CSV")
	fl.BoolVar(&f.class.JSON, "json", false, "print the list of exercises, of faults or, with --results, of runs as JSON")
	fl.StringVar(&f.Coach, "coach", "", "full, ask or off; default: the exercise's own")
	fl.Float64Var(&f.Speed, "speed", 0, "simulated time runs this many times faster; default: the exercise's own")
	fl.StringVar(&f.Seed, "seed", "", "`number` of the bench, or own for one made from --operator; default: the same for everybody")
	fl.StringVar(&f.Operator, "operator", "", "name of the operator, for the record")
	fl.StringVar(&f.Folder, "folder", "", "`folder` for the journals, instead of the one in the data folder")
	fl.StringVar(&f.Bench.Path, "bench", "", "`file` that keeps what runs show of the named bottles of the exercise; the same seed is the same bench")
	fl.BoolVar(&f.Bench.Forget, "forget", false, "with --bench: start without what earlier runs have shown")
	fl.BoolVar(&f.resume, "resume", false, "resume an exercise that was left: the latest, with --operator the latest of theirs, or the journal named")
	fl.BoolVar(&f.plain, "plain", false, "lines of text instead of a screen, suitable for a screen reader")
	return c
}

func (f *practiceFlags) run(cmd *cobra.Command, args []string) error {
	out := cmd.OutOrStdout()
	switch {
	case f.teacher:
		return paged(cmd, func(out io.Writer) error { _, err := io.WriteString(out, teachersPage); return err })
	case f.faults && f.class.JSON:
		return lesson.FaultsJSON(out)
	case f.faults:
		return paged(cmd, lesson.ListFaults)
	case f.show != "":
		return paged(cmd, func(out io.Writer) error { return lesson.ShowExercise(out, f.show) })
	case f.check != "":
		return lesson.CheckFile(out, f.check)
	case f.class.Folder != "":
		talk := cmd.ErrOrStderr()
		if file := manners.TerminalOf(talk); file != nil {
			talk = file // how far it has come is drawn over and over
		}
		return f.class.Write(out, talk)
	case f.class.JSON && len(args) == 0:
		return f.ListJSON(out)
	case f.class.HTML != "" || f.class.CSV || f.class.Pupil != "":
		return usageError(errors.New("--html, --csv and --pupil belong to --results"), "halfdrop practice --results FOLDER")
	}
	if cmd.Flags().Changed("speed") && f.Speed == 0 {
		return usageError(errors.New("--speed 0 is outside 0.1–100"))
	}
	if err := f.Usage(); err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(cmd.Context(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	f.Program, f.Look = madeBy(), face
	at := lesson.Terminal{In: cmd.InOrStdin(), Out: out, Talk: cmd.ErrOrStderr()}
	if f.resume {
		return f.GoOn(ctx, at, f.onScreen(cmd), args)
	}
	e, err := lesson.Wanted(f.file, args)
	if err != nil {
		return err
	}
	if !f.onScreen(cmd) {
		if e == nil {
			return paged(cmd, f.ListExercises)
		}
		return f.InLines(ctx, at, e)
	}
	return f.OnScreens(ctx, e)
}

func (f *practiceFlags) onScreen(cmd *cobra.Command) bool {
	return !f.plain && terminal.OnScreen(cmd.InOrStdin(), cmd.OutOrStdout())
}
