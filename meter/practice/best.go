package practice

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
)

// scoresFile keeps the points of earlier runs, so that a list need not judge
// them all again. It is only a help for the eye: a class is judged from the
// journals.
const scoresFile = "scores.csv"

// Note adds a result to the points of earlier runs.
func Note(folder string, r Result) error {
	f, err := os.OpenFile(filepath.Join(folder, scoresFile), os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o644)
	if err != nil {
		return fmt.Errorf("practice: %w", err)
	}
	w := csv.NewWriter(f)
	w.Write([]string{r.Exercise, strconv.FormatFloat(r.Points, 'f', 0, 64)})
	w.Flush()
	if err := w.Error(); err != nil {
		f.Close()
		return fmt.Errorf("practice: %w", err)
	}
	return f.Close()
}

// Best is the best points of each exercise, by its name. A file that is not
// there or cannot be read holds none.
func Best(folder string) map[string]float64 {
	best := map[string]float64{}
	f, err := os.Open(filepath.Join(folder, scoresFile))
	if err != nil {
		return best
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.FieldsPerRecord = 2
	for {
		row, err := r.Read()
		if row == nil {
			return best
		}
		if p, bad := strconv.ParseFloat(row[1%len(row)], 64); err == nil && bad == nil && p >= best[row[0]] {
			best[row[0]] = p
		}
	}
}
