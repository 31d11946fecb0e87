package report

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/run/view"
)

// Record is everything that the report shows.
type Record struct {
	replay.Review
	EndedAt      time.Time            `json:"ended_at"` // time of day at which it was closed, or of the last event
	StartML      float64              `json:"start_ml"`
	FinalML      float64              `json:"final_ml"`
	AddedML      float64              `json:"added_ml"` // titrant in the beaker, by the labels
	InUse        float64              `json:"-"`        // pH expected at the mark and the temperature of use
	Plate        Plate                `json:"plate"`
	Finished     *Finished            `json:"made_up,omitempty"` // the reading after making up; nil when there is none
	Weighed      []Weighed            `json:"weighed"`
	Titrants     []Titrant            `json:"titrants"`
	Calibrations []calib.Calibration  `json:"calibrations"`
	Verified     []calib.Verification `json:"checked,omitempty"` // in standards, in the middle of the run
	Changes      []Change             `json:"changes"`
	Known        []string             `json:"known,omitempty"`   // what was taken over from earlier runs
	Amended      []string             `json:"amended,omitempty"` // what of the plan turned out to be otherwise
	Cautions     []string             `json:"cautions"`
	Sum          string               `json:"last_sum"`  // of the journal: two copies with the same sum are the same
	First        string               `json:"first_sum"` // of its start: that of no other run
	Plan         json.RawMessage      `json:"plan"`

	made           time.Time // when the finished solution was read
	run            *replay.Run
	plan, believed []coach.CurvePoint
}

// Weighed is a reagent in the beaker, or for it.
type Weighed struct {
	Reagent string  `json:"reagent"`
	Formula string  `json:"formula"`
	MMol    float64 `json:"mmol"`
	Grams   float64 `json:"grams,omitempty"` // to weigh; 0 for what comes as a solution
	Purity  float64 `json:"purity_pct,omitempty"`
	MMolar  float64 `json:"mmol_per_litre"`      // at the mark
	Late    bool    `json:"late,omitempty"`      // it went in once the pH was set
	Taken   float64 `json:"weighed_g,omitempty"` // as the balance had it; 0 when nobody said
	Lot     string  `json:"lot,omitempty"`
}

// Titrant is a bottle of the plan with what was used of it.
type Titrant struct {
	Name    string  `json:"name"`
	Reagent string  `json:"reagent"`
	Molar   float64 `json:"molar"`
	By      string  `json:"by"`                // dropper, pipette or burette
	DropUL  float64 `json:"drop_ul,omitempty"` // of a dropper
	Drops   float64 `json:"drops"`             // given in drops
	ML      float64 `json:"ml"`                // given in all
	MMol    float64 `json:"mmol"`              // that is, by the label
	Bottle  string  `json:"bottle,omitempty"`
	Opened  string  `json:"opened,omitempty"`
	Lot     string  `json:"lot,omitempty"`
}

// Change is something that was said otherwise later, where the first entry
// stays, or a remark, or a gap.
type Change struct {
	T      float64   `json:"t"`
	At     time.Time `json:"at"`
	By     string    `json:"by,omitempty"`
	What   string    `json:"what"`
	Reason string    `json:"reason,omitempty"`
}

// curvePoints is how many points a drawn curve has.
const curvePoints = 241

// New gathers the record of a run.
func New(r *replay.Run) *Record {
	s := r.End().Setup
	rec := &Record{
		Review: r.Review(), EndedAt: r.Wall(r.Lasted()), Sum: r.Tail.Sum, First: r.First.Sum, Plan: r.First.Start.Plan, run: r,
		StartML: s.Start.Millilitres(), FinalML: s.Final.Millilitres(), Weighed: weighed(s), Titrants: titrants(s),
		Calibrations: []calib.Calibration{}, Changes: []Change{},
	}
	if rec.InUse = math.NaN(); rec.Read != nil {
		rec.InUse = rec.Read.PH - (rec.Aim - rec.Target)
	}
	for _, st := range rec.Steps {
		rec.count(st)
	}
	for e := range r.Others {
		rec.note(e)
	}
	rec.plate(r.End().Noted())
	rec.finish(r.End().MadeUp(), rec.made)
	rec.Known = r.End().Taken().Words()
	rec.Amended = phrase.Each(r.End().Amendments(), func(a journal.Amendment) string { return a.Name })
	rec.Cautions = rec.cautions()
	rec.plan, rec.believed = r.Curves(curvePoints)
	return rec
}

func weighed(s *recipe.Setup) []Weighed {
	out := []Weighed{}
	for i, p := range s.Weighed {
		w := Weighed{Reagent: p.Reagent.Name, Formula: p.Reagent.Formula, MMol: p.Amount.Millimoles(),
			MMolar: p.Amount.Millimoles() / s.Final.Litres(), Late: p.Late}
		if p.Reagent.Solid() {
			w.Grams = p.Reagent.MolarMass.Of(p.Amount).Grams()
		}
		if i < len(s.Plan.Weighed) {
			if q := s.Plan.Weighed[i].PurityPct; q != nil {
				w.Purity, w.Grams = *q, w.Grams/(*q/100)
			}
		}
		out = append(out, w)
	}
	return out
}

func titrants(s *recipe.Setup) []Titrant {
	out := []Titrant{}
	for i, st := range s.Stocks {
		t := Titrant{Name: st.Name, Reagent: st.Reagent.Name, Molar: float64(st.Molar), By: recipe.Dropper, Bottle: st.Bottle, Opened: st.Opened}
		if i < len(s.Plan.Titrants) {
			t.By = cmp.Or(s.Plan.Titrants[i].By, t.By)
		}
		if !st.ByML {
			t.DropUL = st.Drop.Microlitres()
		}
		out = append(out, t)
	}
	return out
}

// count adds one addition to what was used.
func (rec *Record) count(st replay.Step) {
	if st.Undone {
		return
	}
	rec.AddedML += st.ML
	for j := range rec.Titrants {
		if t := &rec.Titrants[j]; t.Name == st.Titrant {
			t.Drops += st.Drops
			t.ML += st.ML
			t.MMol += st.ML * t.Molar
		}
	}
}

// note gathers calibrations and changes.
func (rec *Record) note(e journal.Event) {
	c := Change{T: e.T, At: e.At, By: rec.Operator}
	switch e.Kind {
	case journal.Calibrated:
		var k *calib.Calibration // nil when the run was told that none is known
		if json.Unmarshal(e.Calibration, &k) == nil && k != nil && len(k.Points) > 0 {
			rec.Calibrations = append(rec.Calibrations, *k)
		}
		return
	case journal.Checked:
		v, err := calib.ReadVerification(e.Checked)
		if err != nil {
			return
		}
		rec.Verified = append(rec.Verified, v)
		c.What = "electrode " + v.Summary() + "; it changed no reading and is not a new calibration"
	case journal.MadeUp:
		rec.made = e.At
		c.By = cmp.Or(e.MadeUp.By, rec.Operator)
		if c.What = fmt.Sprintf("made up and read: pH %.2f", e.MadeUp.PH); e.MadeUp.TempC != nil {
			c.What += fmt.Sprintf(" at %.1f °C", *e.MadeUp.TempC)
		}
	case journal.Undone:
		c.What, c.Reason = fmt.Sprintf("%s withdrawn", rec.entry(e.Undo.Seq)), cmp.Or(e.Undo.Reason, "no reason given")
	case journal.Corrected:
		to := e.Correct.To
		c.What = fmt.Sprintf("%s corrected to %s of %s", rec.entry(e.Correct.Seq), view.Amount(to.Drops, chem.Volume(to.ML)*chem.Millilitre), to.Titrant)
		c.Reason = cmp.Or(e.Correct.Reason, "no reason given")
	case journal.Gap:
		c.What = fmt.Sprintf("run resumed after %s without readings", phrase.Away(e.Gap.Seconds))
	case journal.Remarked:
		c.What = "remark: " + e.Remark.Text
	case journal.Bottled:
		var b recipe.Titrant
		if json.Unmarshal(e.Bottle, &b) != nil {
			return
		}
		c.What = "another bottle was brought in: " + b.Name
	case journal.Declined:
		c.What = "nothing of what was ordered was given"
	case journal.Confirmed:
		c.What = "a check was acknowledged and passed over"
	case journal.Amended:
		if c.What = "the plan was amended: " + e.Amend.Name; e.Amend.Back {
			c.What = "an amendment was withdrawn: " + e.Amend.Name
		}
	default:
		return
	}
	rec.Changes = append(rec.Changes, c)
}

// entry names an addition by its number.
func (rec *Record) entry(seq int64) string {
	for _, s := range rec.Steps {
		if s.Seq == seq {
			return fmt.Sprintf("addition %d (%s)", s.N, cmp.Or(s.Entered, s.Amount()))
		}
	}
	return fmt.Sprintf("event %d", seq)
}

// cautions are what a reader of the record has to know.
func (rec *Record) cautions() []string {
	out := []string{"Strong acids and bases burn skin and eyes: goggles and gloves. The safety data sheet of each bottle and the rules of the laboratory come first; this record classifies nothing."}
	switch {
	case rec.Read == nil && math.IsNaN(rec.Final.PH):
		out = append(out, "There is no reading of the finished solution.")
	case rec.Read == nil:
		out = append(out, "The finished solution was not read at rest: its pH is not known.")
	case rec.Finished != nil && !rec.Finished.InAim:
		out = append(out, fmt.Sprintf("The finished solution read %.2f off the target: not within the tolerance.", math.Abs(rec.Finished.PH-rec.Finished.Wanted)))
	case !rec.InAim:
		out = append(out, fmt.Sprintf("The last reading is %.2f off the aim: not within the tolerance.", math.Abs(rec.Read.PH-rec.Aim)))
	}
	if len(rec.Weighed) == 0 {
		out = append(out, "What is in the beaker is not part of this record: "+view.UnknownComposition+".")
	}
	for i := range rec.Weighed {
		w := &rec.Weighed[i]
		if off := w.off(); off != 0 {
			out = append(out, fmt.Sprintf("%.4g g of %s was weighed where the plan has %.4g g, %.2g %% %s: concentrations, curve and predictions of this record are those of the plan.",
				w.Taken, w.Reagent, w.Grams, 100*math.Abs(off), map[bool]string{true: "more", false: "less"}[off > 0]))
		}
	}
	for _, a := range rec.Amended {
		out = append(out, "The plan was amended at the plate: "+a+". Amounts and strengths of this record are as amended.")
	}
	if len(rec.Calibrations) == 0 {
		by := "the pH is as the meter showed it"
		if rec.run.OnlyMV() {
			by = "the meter sent mV, and the pH is that of an ideal electrode"
		}
		out = append(out, "No calibration is part of this record: "+by+".")
	}
	out = append(out, rec.calibrated()...)
	if total := rec.StartML + rec.AddedML; total > rec.FinalML*1.0005 {
		out = append(out, fmt.Sprintf("By the labels there are %.1f mL in the beaker, above the mark of %.1f mL.", total, rec.FinalML))
	} else if len(rec.Weighed) > 0 && rec.Finished == nil && rec.InAim {
		if list := rec.run.End().Setup.Waiting(); len(list) > 0 {
			out = append(out, "Now that the pH is set, and not before: "+strings.Join(list, ", ")+".")
		}
		out = append(out, fmt.Sprintf("Make up to %.4g mL, mix, bring to %.1f °C, and read again before use.", rec.FinalML, rec.UseTempC))
	}
	if !rec.Ended {
		out = append(out, "The run was not closed.")
	}
	if rec.Lost != "" {
		out = append(out, "This record is not whole: "+rec.Lost+".")
	}
	return out
}

// calibrated are the cautions of the calibration that the pH rests on, for the
// finished solution: whether it fits the meter, age, bracket, temperature, spread.
func (rec *Record) calibrated() (out []string) {
	if len(rec.Calibrations) == 0 {
		return nil
	}
	end := rec.run.End()
	for _, f := range end.Fitness() {
		if f.Level != calib.Pass {
			out = append(out, "Calibration: "+f.Text+".")
		}
	}
	if rec.Spread > 0 {
		out = append(out, fmt.Sprintf("As far as the calibration is concerned, the pH is known to ± %.2g (one standard deviation).", rec.Spread))
	}
	return out
}

// MarshalJSON leaves out what is not a number.
func (rec *Record) MarshalJSON() ([]byte, error) {
	type plain Record
	out := struct {
		*plain
		InUse  *float64 `json:"ph_in_use"`
		Spread *float64 `json:"ph_sd"` // of it: of the reading, and of the calibration where that is known
	}{plain: (*plain)(rec)}
	if !math.IsNaN(rec.InUse) {
		v := phrase.Decimals(rec.InUse, 4)
		sd := math.Round(rec.spread()*1e4) / 1e4
		out.InUse, out.Spread = &v, &sd
	}
	return json.Marshal(out)
}
