package lesson

import (
	"io"

	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/class"
	"example.org/halfdrop/meter/practice/score"
	"example.org/halfdrop/meter/textfile"
)

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
