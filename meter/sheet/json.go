package sheet

import (
	"io"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"example.org/halfdrop/meter/textfile"
)

// What plan --json prints; the names are a format others rely on.
type DraftJSON struct {
	Plan       recipe.Plan     `json:"plan"`
	PlanFile   string          `json:"plan_file,omitempty"`
	Way        string          `json:"way"`
	Candidates []candidateJSON `json:"candidates"`
	Weigh      []measureJSON   `json:"weigh"`
	Titrants   []titrantJSON   `json:"titrants"`
	InUse
	Start      float64        `json:"start_ph"` // in the beaker, before titration
	Aim        float64        `json:"aim_ph"`   // on the meter
	ByTemp     float64        `json:"aim_by_temperature"`
	ByStrength float64        `json:"aim_by_strength,omitempty"` // it is made stronger than it is used
	ByDilution float64        `json:"aim_by_dilution"`
	MadeUp     float64        `json:"made_up_ph"` // on the meter, at the mark
	WaterML    float64        `json:"water_ml"`   // to put into the beaker first
	Notes      []string       `json:"notes,omitempty"`
	Steps      []prepare.Step `json:"steps"`
}

type candidateJSON struct {
	Buffer   string          `json:"buffer"`
	PK       float64         `json:"pka"` // at the ionic strength and temperature of use
	Capacity float64         `json:"buffer_capacity"`
	DPHDT    float64         `json:"dph_dt"`
	Strength float64         `json:"ionic_strength"`
	Points   float64         `json:"points"`
	From     string          `json:"start_from"`
	Reasons  []buffer.Reason `json:"reasons"`
}

type measureJSON struct {
	Reagent string             `json:"reagent"`
	Formula string             `json:"formula"`
	MMol    float64            `json:"mmol"`
	Grams   float64            `json:"grams,omitempty"`
	ML      float64            `json:"ml,omitempty"`
	From    string             `json:"from,omitempty"`
	Late    bool               `json:"once_the_ph_is_set,omitempty"` // it waits for that
	Instead map[string]float64 `json:"instead_grams,omitempty"`      // by formula of another hydrate
}

type titrantJSON struct {
	Name    string  `json:"name"`
	Role    string  `json:"role"`
	Molar   float64 `json:"molar"`
	PerDrop float64 `json:"ph_per_drop"`
	ML      float64 `json:"ml,omitempty"` // for the whole way
	Drops   float64 `json:"drops,omitempty"`
	By      string  `json:"by"` // dropper or pipette: what the coach asks for
	Why     string  `json:"why"`
}

func candidatesJSON(list []buffer.Candidate) []candidateJSON {
	out := []candidateJSON{}
	for _, c := range list {
		j := candidateJSON{Buffer: c.System.Name, PK: c.PK, Capacity: c.Capacity, DPHDT: c.DPHDT, Strength: c.Strength, Points: c.Points, From: c.From.FullName(), Reasons: c.Why}
		out = append(out, j)
	}
	return out
}

func measuresJSON(x *prepare.Draft) []measureJSON {
	var out []measureJSON
	for _, m := range x.Measures {
		j := measureJSON{Reagent: m.Reagent.FullName(), Formula: m.Reagent.Formula, MMol: m.Amount.Millimoles(), Grams: m.Mass.Grams(), ML: m.Volume.Millilitres(), From: m.AsSold, Late: m.Late}
		if m.Bottle != nil {
			j.From = m.Bottle.Name()
		}
		for _, o := range m.Others {
			if j.Instead == nil {
				j.Instead = map[string]float64{}
			}
			j.Instead[o.Reagent.Formula] = o.Mass.Grams()
		}
		out = append(out, j)
	}
	return out
}

// WriteJSON writes a recipe with its candidates as one object; planFile is where the plan
// went, "" for nowhere.
func WriteJSON(w io.Writer, x *prepare.Draft, list []buffer.Candidate, planFile string) error {
	j := DraftJSON{
		Plan: x.Plan, Way: string(x.Way), Candidates: candidatesJSON(list), Weigh: measuresJSON(x),
		InUse: inUse(x.InUse, x.Spread), Start: x.Forecast.Start, Aim: x.Aim.Shown, ByTemp: x.Aim.Temperature, ByStrength: x.Aim.Strength, ByDilution: x.Aim.Dilution, MadeUp: x.Aim.MadeUp, WaterML: x.Water.Millilitres(), Notes: x.Notes,
		PlanFile: planFile, Steps: x.Sheet(doing(planFile)),
	}
	for _, t := range x.Titrants {
		j.Titrants = append(j.Titrants, titrantJSON{t.Name(), string(t.Role), t.Molar, t.PerDrop, t.Volume.Millilitres(), t.Drops, t.By(), t.Why})
	}
	return textfile.JSONLine(w, j)
}
