package class

import (
	"encoding/csv"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/score"
)

// scoresFile keeps the points of earlier runs, so that a list need not judge
// them all again. It is only a help for the eye: a class is judged from the
// journals.
const scoresFile = "scores.csv"

// Note adds a result to the points of earlier runs.
func Note(folder string, r score.Result) error {
	f, err := os.OpenFile(filepath.Join(folder, scoresFile), os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o644)
	if err != nil {
		return fmt.Errorf("class: %w", err)
	}
	row := []string{r.Exercise, strconv.FormatFloat(r.Points, 'f', 0, 64)}
	for _, k := range practice.Skills {
		if s, ok := r.Skills[k]; ok {
			row = append(row, fmt.Sprintf("%s=%.4g/%.4g", k.Short(), s.Got, s.Of))
		}
	}
	w := csv.NewWriter(f)
	w.Write(row)
	w.Flush()
	if err := w.Error(); err != nil {
		f.Close()
		return fmt.Errorf("class: %w", err)
	}
	return f.Close()
}

// Stands is what the earlier runs of a folder have shown. A file that is not there
// holds none, and a row that cannot be read is passed over.
func Stands(folder string) Standing {
	s := NewStanding()
	f, err := os.Open(filepath.Join(folder, scoresFile))
	if err != nil {
		return s
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.FieldsPerRecord = -1
	for {
		row, err := r.Read()
		if err == io.EOF || row == nil && err != nil {
			return s
		}
		if err != nil || len(row) < 2 {
			continue
		}
		points, err := strconv.ParseFloat(row[1], 64)
		if err != nil {
			continue
		}
		name := row[0]
		if e, err := practice.Find(name); err == nil {
			name = e.Name // the file may know it by a former one
		}
		s.Take(name, points, skillsIn(row[2:]))
	}
}

// skillsIn reads the points of skills, as "waiting=8/10".
func skillsIn(cells []string) map[practice.Skill]score.Share {
	out := map[practice.Skill]score.Share{}
	for _, cell := range cells {
		name, text, _ := strings.Cut(cell, "=")
		got, of, _ := strings.Cut(text, "/")
		for _, k := range practice.Skills {
			if k.Short() != name {
				continue
			}
			x, err := strconv.ParseFloat(got, 64)
			y, bad := strconv.ParseFloat(of, 64)
			if err == nil && bad == nil && y > 0 {
				out[k] = score.Share{Got: x, Of: y}
			}
		}
	}
	return out
}
