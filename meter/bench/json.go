package bench

import (
	"io"
	"time"

	"example.org/halfdrop/meter/textfile"
)

// WriteJSON writes what is known as one JSON object.
func WriteJSON(out io.Writer, b Book, now time.Time) error {
	type electrode struct {
		Name string    `json:"name"`
		TauS float64   `json:"tau_s"`
		At   time.Time `json:"at"`
	}
	electrodes := []electrode{}
	for _, r := range b.Runs {
		if e := r.Electrode; e != nil {
			electrodes = append(electrodes, electrode{e.Name, e.TauS, r.At})
		}
	}
	return textfile.JSON(out, map[string]any{"drops": append([]Known{}, b.Known(now)...), "stated": append([]Stated{}, b.Stated...), "electrodes": electrodes,
		"notes": append([]string{}, b.Contradictions()...)})
}
