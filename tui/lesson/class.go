package lesson

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/class"
	"example.org/halfdrop/meter/practice/score"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/textfile"
	"example.org/halfdrop/tui/terminal"
)

// Results are what is wanted of the journals of a class.
type Results struct {
	Folder, HTML, Pupil string
	CSV, JSON           bool
}

// Write prints the table of a folder of journals, or the page of a pupil.
func (f Results) Write(out, talk io.Writer) error {
	c, err := class.ReadClass(f.Folder, reading(talk))
	if err != nil {
		return remedy.With(errors.New(strings.TrimPrefix(err.Error(), "class: ")), "name the folder that holds the journals of the class")
	}
	if len(c.Rows) == 0 {
		return remedy.With(fmt.Errorf("no practice run in %s", f.Folder), "journals of practice end in .jsonl, in the folder or in those below it")
	}
	if f.HTML != "" {
		if err := textfile.Create(f.HTML, true, c.WriteHTML); err != nil {
			return err
		}
	}
	out = intake.NewWriter(out)
	write, only := c.WriteText, ""
	if f.CSV {
		write = c.WriteCSV
	}
	if f.Pupil != "" {
		p, err := pupilOf(c, f.Pupil)
		if err != nil {
			return err
		}
		write = p.WriteText
		only = p.Who
	}
	if f.JSON {
		write = func(w io.Writer) error { return classJSON(w, c, only) }
	}
	if err := write(out); err != nil {
		return err
	}
	flagged := 0
	for _, r := range c.Rows {
		if slices.ContainsFunc(r.Flags, func(f string) bool { return f != class.NotEnded }) {
			flagged++
		}
	}
	if flagged > 0 {
		return &remedy.Error{Kind: remedy.Damaged, Err: fmt.Errorf("something is wrong with %d of %d journals", flagged, len(c.Rows)),
			Hints: []string{"the notes below the table say why; halfdrop check FILE names every fault of one that was changed"}}
	}
	return nil
}

// pupilOf finds a pupil by name, whatever the case.
func pupilOf(c class.Class, name string) (class.Pupil, error) {
	var names []string
	for _, p := range c.Pupils() {
		if strings.EqualFold(p.Who, name) {
			return p, nil
		}
		names = append(names, p.Who)
	}
	return class.Pupil{}, remedy.Call(fmt.Errorf("no pupil in the folder is called %q", name), "there are "+strings.Join(names, ", "))
}

// reading tells how far the reading of a class has come: in place on a terminal,
// elsewhere now and then in a line.
func reading(talk io.Writer) func(done, total int) {
	here, last := terminal.Is(talk), time.Now()
	return func(done, total int) {
		switch {
		case here && done == total:
			fmt.Fprint(talk, "\r\033[K")
		case here:
			fmt.Fprintf(talk, "\rreading %d of %d journals", done, total)
		case time.Since(last) > 5*time.Second:
			last = time.Now()
			fmt.Fprintf(talk, "halfdrop: read %d of %d journals\n", done, total)
		}
	}
}

// rowJSON is a run of a class.
type rowJSON struct {
	File      string                         `json:"file"`
	Pupil     string                         `json:"pupil"`
	Exercise  string                         `json:"exercise,omitempty"`
	Attempt   int                            `json:"attempt"`
	Seed      uint64                         `json:"seed"`
	Coach     practice.Coaching              `json:"coach"`
	Seconds   float64                        `json:"seconds"`
	Additions int                            `json:"additions"`
	Points    float64                        `json:"points"`
	Skills    map[practice.Skill]score.Share `json:"skills"`
	Flags     []string                       `json:"flags"`
}

// classJSON writes the runs of a class, or of one pupil only, as JSON.
func classJSON(out io.Writer, c class.Class, only string) error {
	rows := []rowJSON{}
	for _, r := range c.Rows {
		if only == "" || r.Who() == only {
			rows = append(rows, rowJSON{r.File, r.Who(), r.Exercise, r.Attempt, r.Seed, r.Coach, r.Seconds, r.Additions, r.Points, r.Skills, append([]string{}, r.Flags...)})
		}
	}
	return textfile.JSON(out, map[string]any{"runs": rows, "other_journals": c.Others})
}
