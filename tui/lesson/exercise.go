package lesson

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/class"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/textfile"
)

// Usage says what cannot be meant by what is wanted.
func (f *Lesson) Usage() error {
	if f.Coach != "" {
		if err := practice.Coaching(f.Coach).Check(); err != nil {
			return remedy.Call(fmt.Errorf("--coach: %w", err))
		}
	}
	if f.Speed != 0 && !(f.Speed >= 0.1 && f.Speed <= 100) {
		return remedy.Call(fmt.Errorf("--speed %g is outside 0.1–100", f.Speed))
	}
	if f.Seed == "own" && f.Operator == "" {
		return remedy.Call(errors.New("--seed own is made from --operator"), "give a name or number of the bench with --operator")
	}
	if n, err := strconv.ParseUint(f.Seed, 10, 64); f.Seed != "" && f.Seed != "own" && (err != nil || n == 0) {
		return remedy.Call(fmt.Errorf("--seed %s is neither a number above zero nor own", f.Seed))
	}
	return nil
}

// Wanted is the one asked for; nil when none is.
func Wanted(file string, args []string) (*practice.Exercise, error) {
	switch {
	case file != "" && len(args) > 0:
		return nil, remedy.Call(errors.New("a name and --exercise exclude each other"), "leave one out")
	case file != "":
		return ReadExercise(file)
	case len(args) == 0:
		return nil, nil
	}
	e, err := practice.Find(args[0])
	if errors.Is(err, practice.ErrNone) {
		return nil, remedy.Call(fmt.Errorf("no exercise is called %q", args[0]), Meant("halfdrop practice", args[0])+"halfdrop practice lists them; a file is given with --exercise")
	}
	return e, err
}

// Meant asks whether one of the exercises was meant whose names are much like what was written.
func Meant(command, name string) string {
	like := practice.Like(name)
	if len(like) == 0 {
		return ""
	}
	return "did you mean " + command + " " + strings.Join(like, ", or ") + "? "
}

// ReadExercise reads a file, with every fault and what to try.
func ReadExercise(path string) (*practice.Exercise, error) {
	text, err := textfile.Read(path, textfile.MaxPlan)
	if err != nil {
		return nil, remedy.With(err, "halfdrop practice --show first-buffer prints an exercise to start from")
	}
	e, err := practice.Decode(path, text)
	if err == nil {
		return e, nil
	}
	var hints []string
	said := map[string]bool{} // the same for several lines is said at the first
	for _, one := range unjoin(err) {
		var at *practice.FileError
		if errors.As(one, &at) && at.Try != "" && !said[at.Try] {
			said[at.Try] = true
			hints = append(hints, fmt.Sprintf("line %d: %s", at.Line, at.Try))
		}
	}
	return nil, remedy.Call(err, hints...)
}

// unjoin is the errors that were joined.
func unjoin(err error) []error {
	if all, ok := err.(interface{ Unwrap() []error }); ok {
		return all.Unwrap()
	}
	return []error{err}
}

// CheckFile says whether an exercise is ready to use.
func CheckFile(out io.Writer, path string) error {
	e, err := ReadExercise(path)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(out, "%s: exercise %q is ready to use: step %d, coach %s, seed %d, %s\n", path, e.Title, e.Level, e.Coach, e.Seed, phrase.Counted(len(e.Faults), "fault"))
	return err
}

// ShowExercise prints the file of an exercise.
func ShowExercise(out io.Writer, name string) error {
	e, err := practice.Find(name)
	if err != nil {
		return remedy.Call(fmt.Errorf("no exercise is called %q", name), Meant("halfdrop practice --show", name)+"halfdrop practice lists them")
	}
	_, err = out.Write(e.Text)
	return err
}

// ListFaults lists the faults that an exercise can have.
func ListFaults(out io.Writer) error {
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

// FaultsJSON is ListFaults as JSON.
func FaultsJSON(out io.Writer) error {
	list := []map[string]any{}
	for _, k := range sim.Faults() {
		list = append(list, map[string]any{"name": k.Name, "title": k.Title, "sign": k.Sign, "cure": k.Cure, "person": k.Person, "seen": k.Seen})
	}
	return textfile.JSON(out, list)
}

// exerciseJSON is a row of the list of exercises.
type exerciseJSON struct {
	Number  int               `json:"number"`
	Name    string            `json:"name"`
	Title   string            `json:"title"`
	Step    int               `json:"step"`
	Of      string            `json:"step_name"`
	Coach   practice.Coaching `json:"coach"`
	Teaches string            `json:"teaches"`
	Best    *float64          `json:"best,omitempty"` // points; none where it was not done
	Next    bool              `json:"next"`           // to be done next
}

// ListJSON is ListExercises for a program.
func (f *Lesson) ListJSON(out io.Writer) error {
	all, err := practice.Exercises()
	if err != nil {
		return err
	}
	stands := class.NewStanding()
	if folder, err := f.journals(); err == nil {
		stands = class.Stands(folder)
	}
	next, _ := stands.Next(all)
	list := []exerciseJSON{}
	for _, e := range all {
		row := exerciseJSON{e.Number, e.Name, e.Title, e.Level, practice.StepName(e.Level), e.Coach, e.Teaches, nil, next != nil && next.Name == e.Name}
		if p, done := stands.Best[e.Name]; done {
			row.Best = &p
		}
		list = append(list, row)
	}
	return textfile.JSON(out, list)
}
