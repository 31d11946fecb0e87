package main

import (
	"io"
	"math"
	"time"

	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/pool"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/sheet"
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

// pointJSON is an equivalence point that is expected.
type pointJSON struct {
	ML      float64 `json:"ml"`
	Titrant string  `json:"titrant"`
	PH      float64 `json:"ph"`
	Main    bool    `json:"main"` // the one to go by
}

// writeProspectJSON is tellProspect in JSON. sd_rel is a share of the answer; of a
// blank it is sd_ml, in mL.
func writeProspectJSON(out io.Writer, s *recipe.Setup) error {
	words, best, err := s.Prospect()
	if err != nil {
		return err
	}
	b, err := s.Bench(s.BenchTemp)
	if err != nil {
		return err
	}
	sd, in := "sd_rel", 1.0
	points := []pointJSON{}
	if s.What == find.Blank {
		sd, in = "sd_ml", 1e3
	} else {
		for i, st := range best.Stations {
			points = append(points, pointJSON{st.Volume.Millilitres(), s.Stocks[st.Stock].Name, st.PH, i == best.Main})
		}
	}
	causes := []map[string]any{}
	for _, c := range best.Causes {
		causes = append(causes, map[string]any{"cause": c.Cause, sd: in * c.SD})
	}
	g, _ := b.Guide.(*find.Bench)
	return textfile.JSON(out, map[string]any{"to_find": sheet.Sought(s), "points": points, sd: in * best.Relative(), "causes": causes,
		"indicators": append([]string{}, g.Indicators(2)...), "note": words})
}

// writePoolJSON is a pool of repeats in JSON; what one value cannot say is left out.
func writePoolJSON(out io.Writer, of, unit string, list []pool.Value, p pool.Pooled) error {
	runs := []map[string]any{}
	for _, v := range list {
		runs = append(runs, map[string]any{"run": v.Name, "value": v.Value, "sd": v.SD})
	}
	all := map[string]any{"of": of, "unit": unit, "runs": runs, "n": p.N, "mean": p.Mean, "sd": p.Total, "low": p.Low, "high": p.High, "level": p.Level, "shared": p.Shared, "claim": p.Claim}
	if !math.IsNaN(p.SD) {
		all["scatter"] = p.SD
	}
	if p.Suspect >= 0 {
		all["grubbs"] = map[string]any{"g": p.G, "critical": p.Critical, "run": list[p.Suspect].Name, "outlier": p.Outlier()}
	}
	return textfile.JSON(out, all)
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
