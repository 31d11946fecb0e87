package main

import (
	_ "embed"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strconv"
	"syscall"

	"github.com/spf13/cobra"

	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/textfile"
	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/lesson"
)

//go:embed practice_teacher.txt
var teachersPage string

// practiceFlags are what the command line asks for.
type practiceFlags struct {
	file, check, show string
	faults, teacher   bool
	results, html     string
	csv, json         bool
	plain             bool
	resume            bool
	pupil             string
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
to do next. Each keeps its number for ever. The coach can say everything (full),
only answer when asked, which costs points (ask), or say nothing (off). The meter always
shows. A fault is named by what shows it: f, then a reading or an addition.

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
	fl.StringVar(&f.results, "results", "", "table of the journals in this `folder`")
	fl.StringVar(&f.html, "html", "", "with --results: write the class as a page into this `file`, with a sheet for each pupil")
	fl.StringVar(&f.pupil, "pupil", "", "with --results: print the page of the pupil of this `name`")
	fl.BoolVar(&f.csv, "csv", false, "with --results: print the table as CSV")
	fl.BoolVar(&f.json, "json", false, "print the list of exercises, of faults or, with --results, of runs as JSON")
	fl.StringVar(&f.Coach, "coach", "", "full, ask or off; default: the exercise's own")
	fl.Float64Var(&f.Speed, "speed", 0, "simulated time runs this many times faster; default: the exercise's own")
	fl.StringVar(&f.Seed, "seed", "", "`number` of the bench, or own for one made from --operator; default: the same for everybody")
	fl.StringVar(&f.Operator, "operator", "", "name of the operator, for the record")
	fl.StringVar(&f.Folder, "folder", "", "`folder` for the journals, instead of the one in the data folder")
	fl.StringVar(&f.Bench.Path, "bench", "", "`file` that keeps what runs show of the named bottles of the exercise; the same seed is the same bench")
	fl.BoolVar(&f.Bench.Forget, "forget", false, "with --bench: start without what earlier runs have shown")
	fl.BoolVar(&f.resume, "resume", false, "resume an exercise that was left: the latest, or the journal named")
	fl.BoolVar(&f.plain, "plain", false, "lines of text instead of a screen, suitable for a screen reader")
	return c
}

func (f *practiceFlags) run(cmd *cobra.Command, args []string) error {
	out := cmd.OutOrStdout()
	switch {
	case f.teacher:
		_, err := io.WriteString(out, teachersPage)
		return err
	case f.faults && f.json:
		return writeFaultsJSON(out)
	case f.faults:
		return listFaults(out)
	case f.show != "":
		return showExercise(out, f.show)
	case f.check != "":
		return f.checkFile(out, f.check)
	case f.results != "":
		return f.class(out, cmd.ErrOrStderr())
	case f.json && len(args) == 0:
		return f.ListJSON(out)
	case f.html != "" || f.csv || f.pupil != "":
		return usageError(errors.New("--html, --csv and --pupil belong to --results"), "halfdrop practice --results FOLDER")
	}
	if err := f.usage(); err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(commandContext(cmd), os.Interrupt, syscall.SIGTERM)
	defer stop()
	f.Program, f.Look = madeBy(), face
	at := lesson.Terminal{In: cmd.InOrStdin(), Out: out, Talk: cmd.ErrOrStderr()}
	if f.resume {
		return f.GoOn(ctx, at, f.onScreen(cmd), args)
	}
	e, err := f.exercise(args)
	if err != nil {
		return err
	}
	if !f.onScreen(cmd) {
		if e == nil {
			return f.ListExercises(out)
		}
		return f.InLines(ctx, at, e)
	}
	return f.OnScreens(ctx, e)
}

func (f *practiceFlags) usage() error {
	if f.Coach != "" {
		if _, err := practice.ParseCoaching(f.Coach); err != nil {
			return usageError(fmt.Errorf("--coach: %w", err))
		}
	}
	if f.Speed != 0 && !(f.Speed >= 0.1 && f.Speed <= 100) {
		return usageError(fmt.Errorf("--speed %g is outside 0.1–100", f.Speed))
	}
	if f.Seed == "own" && f.Operator == "" {
		return usageError(errors.New("--seed own is made from --operator"), "give a name or number of the bench with --operator")
	}
	if n, err := strconv.ParseUint(f.Seed, 10, 64); f.Seed != "" && f.Seed != "own" && (err != nil || n == 0) {
		return usageError(fmt.Errorf("--seed %s is neither a number above zero nor own", f.Seed))
	}
	return nil
}

// exercise is the one asked for; nil when none is.
func (f *practiceFlags) exercise(args []string) (*practice.Exercise, error) {
	switch {
	case f.file != "" && len(args) > 0:
		return nil, usageError(errors.New("a name and --exercise exclude each other"), "leave one out")
	case f.file != "":
		return readExercise(f.file)
	case len(args) == 0:
		return nil, nil
	}
	e, err := practice.Find(args[0])
	if errors.Is(err, practice.ErrNone) {
		return nil, usageError(fmt.Errorf("no exercise is called %q", args[0]), "halfdrop practice lists them; a file is given with --exercise")
	}
	return e, err
}

// readExercise reads a file, with every fault and what to try.
func readExercise(path string) (*practice.Exercise, error) {
	text, err := textfile.Read(path, textfile.MaxPlan)
	if err != nil {
		return nil, withHint(err, "halfdrop practice --show first-buffer prints an exercise to start from")
	}
	e, err := practice.Decode(path, text)
	if err == nil {
		return e, nil
	}
	var hints []string
	for _, one := range unjoin(err) {
		var at *practice.FileError
		if errors.As(one, &at) && at.Try != "" {
			hints = append(hints, fmt.Sprintf("line %d: %s", at.Line, at.Try))
		}
	}
	return nil, withHint(err, hints...)
}

// unjoin is the errors that were joined.
func unjoin(err error) []error {
	if all, ok := err.(interface{ Unwrap() []error }); ok {
		return all.Unwrap()
	}
	return []error{err}
}

func (f *practiceFlags) checkFile(out io.Writer, path string) error {
	e, err := readExercise(path)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(out, "%s: exercise %q is ready to use: step %d, coach %s, seed %d, %d faults\n", path, e.Title, e.Level, e.Coach, e.Seed, len(e.Faults))
	return err
}

func showExercise(out io.Writer, name string) error {
	e, err := practice.Find(name)
	if err != nil {
		return usageError(fmt.Errorf("no exercise is called %q", name), "halfdrop practice lists them")
	}
	_, err = out.Write(e.Text)
	return err
}

func listFaults(out io.Writer) error {
	for _, k := range sim.Faults() {
		note := ""
		if k.Person {
			note = " (a habit of the person; it cannot be put in)"
		} else if !k.Seen {
			note = " (the readings cannot show it)"
		}
		fmt.Fprintf(out, "%-14s %s%s\n%-14s   sign: %s\n%-14s   cure: %s\n", k.Name, k.Title, note, "", k.Sign, "", k.Cure)
	}
	return nil
}

func (f *practiceFlags) onScreen(cmd *cobra.Command) bool {
	return !f.plain && tui.OnScreen(cmd.InOrStdin(), cmd.OutOrStdout())
}
