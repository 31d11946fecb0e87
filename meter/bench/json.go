package bench

import (
	"io"
	"time"

	"example.org/halfdrop/meter/textfile"
)

// dropJSON is what is known of a dropper with a bottle.
type dropJSON struct {
	Dropper    string    `json:"dropper,omitempty"` // none: the bottle's own
	Bottle     string    `json:"bottle"`
	Reagent    string    `json:"reagent"`
	Molar      float64   `json:"molar"`           // by the label
	DropUL     float64   `json:"drop_ul"`         // by the plan
	ByML       bool      `json:"by_ml,omitempty"` // of 1 mL by pipette or burette
	Umol       float64   `json:"umol_a_drop"`
	SDPct      float64   `json:"sd_pct"`
	ULNow      float64   `json:"drop_ul_now"`
	ULSDPct    float64   `json:"drop_ul_sd_pct"`
	MolarNow   float64   `json:"molar_now"`
	MolarSDPct float64   `json:"molar_sd_pct"`
	Runs       int       `json:"runs"`
	Last       time.Time `json:"last"`
}

// WriteJSON writes what is known as one JSON object.
func WriteJSON(out io.Writer, b Book, now time.Time) error {
	drops := []dropJSON{}
	for _, k := range b.Known(now) {
		drops = append(drops, dropJSON{k.Dropper, k.Bottle, k.Reagent, k.Molar, k.DropUL, k.ByML, k.Umol, k.SDPct, k.ULNow, k.ULSDPct, k.MolarNow, k.MolarSDPct, len(k.Runs), k.Last})
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
	return textfile.JSON(out, map[string]any{"drops": drops, "stated": append([]Stated{}, b.Stated...), "electrodes": electrodes,
		"notes": append([]string{}, b.Contradictions()...)})
}
