package replay

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"time"

	"example.org/halfdrop/meter/found"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/view"
)

// WriteFoundText is what happened in a run that looked for an amount: the readings
// at rest with the answer as it was known by each, and the answer in the end.
func WriteFoundText(out io.Writer, r *Run) error {
	w := intake.NewWriter(out)
	end := r.End()
	fmt.Fprintf(w, "%s\n%s, %s\n\n", end.Setup.Plan.Name, r.First.At.Format(time.DateTime), r.First.Start.Source)
	t := phrase.Columns(w)
	fmt.Fprintln(t, "added in all\tpH at rest\tknown then")
	for i, p := range end.FoundSteps() {
		ml := fmt.Sprintf("%.2f mL", p.ML)
		if i == 0 && p.ML == 0 {
			ml = "nothing"
		}
		fmt.Fprintf(t, "%s\t%.3f ± %.3f\t%s\n", ml, p.PH, p.SD, p.Words)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(w)
	f := end.AtLast().Found
	if f == nil {
		_, err := fmt.Fprintln(w, "nothing was found")
		return err
	}
	if err := found.Write(w, f); err != nil {
		return err
	}
	outcome := "the run was not closed"
	if o := end.AtLast().Outcome; o != "" {
		outcome = "closed: " + o
	}
	_, err := fmt.Fprintf(w, "%s\n", outcome)
	return err
}

// FoundJSON is the same for programs.
type FoundJSON struct {
	Plan     string             `json:"plan"`
	Begun    time.Time          `json:"begun"`
	Sought   string             `json:"looked_for"`
	Name     string             `json:"name"`
	Value    float64            `json:"value"` // mol/L of a bottle, mol of a substance
	SD       float64            `json:"sd"`
	PK       float64            `json:"pk,omitempty"`
	PKSD     float64            `json:"pk_sd,omitempty"`
	Molar    float64            `json:"sample_mol_per_litre,omitempty"`
	MolarSD  float64            `json:"sample_sd,omitempty"`
	Wanted   float64            `json:"spread_wanted"`
	Reached  bool               `json:"reached"`
	Points   []pointJSON        `json:"equivalence"`
	Causes   map[string]float64 `json:"spread_by_cause"`
	Readings []view.FoundStep   `json:"readings"`
	Outcome  string             `json:"outcome,omitempty"`
}

type pointJSON struct {
	ML float64 `json:"ml"`
	SD float64 `json:"sd"`
	PH float64 `json:"ph"`
}

// FoundRecord is what a determination has found, for another program; false of a run that
// looked for no amount.
func FoundRecord(r *Run) (FoundJSON, bool) {
	end := r.End()
	v := end.AtLast()
	f := v.Found
	if f == nil {
		return FoundJSON{}, false
	}
	out := FoundJSON{Plan: end.Setup.Plan.Name, Begun: r.First.At, Sought: end.Setup.Plan.Find.What, Name: f.Name, Value: f.Value, SD: f.SD, PK: f.PK, PKSD: f.PKSD,
		Molar: f.Molar, MolarSD: f.MolarSD, Wanted: f.Goal, Reached: f.Reached(), Causes: map[string]float64{}, Readings: end.FoundSteps(), Outcome: v.Outcome}
	for _, s := range f.Stations {
		out.Points = append(out.Points, pointJSON{s.Volume.Millilitres(), s.SD.Millilitres(), s.PH})
	}
	for _, c := range f.Causes {
		out.Causes[string(c.Cause)] = c.SD
	}
	return out, true
}

// MarshalJSON leaves out what is not a number: a composition may have been
// left without a reading.
func (s Standing) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		T       float64  `json:"t"`
		Shown   *float64 `json:"shown"`
		PH      *float64 `json:"ph"`
		SD      *float64 `json:"sd"`
		Settled bool     `json:"settled"`
		TempC   float64  `json:"temp_c"`
		Aim     *float64 `json:"aim"`
	}{phrase.Decimals(s.T, 4), finite(s.Shown), finite(s.PH), finite(s.SD), s.Settled, phrase.Decimals(s.TempC, 4), finite(s.Aim)})
}

func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	x = phrase.Decimals(x, 4)
	return &x
}
