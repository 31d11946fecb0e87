package dip

import (
	"io"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/records"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/textfile"
)

// electrodeJSON are the calibrations of one electrode, the latest last.
type electrodeJSON struct {
	Electrode    string   `json:"electrode"`
	Calibrations any      `json:"calibrations"` // as the history file has them
	Trend        []string `json:"trend"`        // in words
}

func writeHistoryJSON(out io.Writer, h records.History, names []string) error {
	list := []electrodeJSON{}
	for _, name := range names {
		e := electrodeJSON{Electrode: name, Calibrations: h.Of(name), Trend: []string{}}
		if t, err := calib.TrendOf(h.Of(name)); err == nil {
			e.Trend = append(e.Trend, t.Words()...)
		} else {
			e.Trend = append(e.Trend, phrase.Plain(err).Error())
		}
		list = append(list, e)
	}
	return textfile.JSON(out, list)
}
