package lesson

import (
	"io"

	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/class"
	"example.org/halfdrop/meter/textfile"
)

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
