package main

import (
	"io"
	"time"

	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/textfile"
)

// dropJSON is what is known of a dropper with a bottle.
type dropJSON struct {
	Dropper    string    `json:"dropper,omitempty"` // none: the bottle's own
	Bottle     string    `json:"bottle"`
	Reagent    string    `json:"reagent"`
	Molar      float64   `json:"molar"`   // by the label
	DropUL     float64   `json:"drop_ul"` // by the plan
	Umol       float64   `json:"umol_a_drop"`
	SDPct      float64   `json:"sd_pct"`
	ULNow      float64   `json:"drop_ul_now"`
	ULSDPct    float64   `json:"drop_ul_sd_pct"`
	MolarNow   float64   `json:"molar_now"`
	MolarSDPct float64   `json:"molar_sd_pct"`
	Runs       int       `json:"runs"`
	Last       time.Time `json:"last"`
}

func writeBenchJSON(out io.Writer, b bench.Book, now time.Time) error {
	drops := []dropJSON{}
	for _, k := range b.Known(now) {
		drops = append(drops, dropJSON{k.Dropper, k.Bottle, k.Reagent, k.Molar, k.DropUL, k.Umol, k.SDPct, k.ULNow, k.ULSDPct, k.MolarNow, k.MolarSDPct, len(k.Runs), k.Last})
	}
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
	return textfile.JSON(out, map[string]any{"drops": drops, "stated": append([]bench.Stated{}, b.Stated...), "electrodes": electrodes,
		"notes": append([]string{}, b.Contradictions()...)})
}

func writeFaultsJSON(out io.Writer) error {
	list := []map[string]any{}
	for _, k := range sim.Faults() {
		list = append(list, map[string]any{"name": k.Name, "title": k.Title, "sign": k.Sign, "cure": k.Cure, "person": k.Person, "seen": k.Seen})
	}
	return textfile.JSON(out, list)
}

// rowJSON is a run of a class.
type rowJSON struct {
	File      string                            `json:"file"`
	Pupil     string                            `json:"pupil"`
	Exercise  string                            `json:"exercise,omitempty"`
	Attempt   int                               `json:"attempt"`
	Seed      uint64                            `json:"seed"`
	Coach     practice.Coaching                 `json:"coach"`
	Seconds   float64                           `json:"seconds"`
	Additions int                               `json:"additions"`
	Points    float64                           `json:"points"`
	Skills    map[practice.Skill]practice.Share `json:"skills"`
	Flags     []string                          `json:"flags"`
}

func writeClassJSON(out io.Writer, c practice.Class, only string) error {
	rows := []rowJSON{}
	for _, r := range c.Rows {
		if only == "" || r.Who() == only {
			rows = append(rows, rowJSON{r.File, r.Who(), r.Exercise, r.Attempt, r.Seed, r.Coach, r.Seconds, r.Additions, r.Points, r.Skills, append([]string{}, r.Flags...)})
		}
	}
	return textfile.JSON(out, map[string]any{"runs": rows, "other_journals": c.Others})
}
