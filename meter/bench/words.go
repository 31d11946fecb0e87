package bench

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
)

// Words say what a run takes over, a line for each thing.
func (t *Taken) Words() (out []string) {
	if t == nil {
		return nil
	}
	for _, s := range t.Stocks {
		if s.ByML && s.Runs == 0 {
			text := fmt.Sprintf("%s is %.4f of its label, ± %.2g %% (found or stated on %s)", s.Titrant, s.MLFactor, s.MLSDPct, day(s.Last))
			if s.CarbonSDPct > 0 {
				text += fmt.Sprintf(", with %.2g ± %.2g %% of carbonate by now", s.CarbonPct, s.CarbonSDPct)
			}
			out = append(out, text)
			continue
		}
		portion := "a drop"
		if s.ByML {
			portion = "1 mL"
		}
		out = append(out, fmt.Sprintf("%s of %s brings %.3f of what its labels say, ± %.1f %% (%s, the last on %s)",
			portion, s.Titrant, s.Factor, math.Hypot(s.SharedSDPct, s.OwnSDPct), from(s.Runs), day(s.Last)))
	}
	if e := t.Electrode; e != nil {
		out = append(out, fmt.Sprintf("electrode %s follows within %.3g s ± %.0f %% (run of %s)", e.Name, e.TauS, e.TauSDPct, day(e.Last)))
	}
	return append(out, t.Notes...)
}

func from(runs int) string {
	switch runs {
	case 0:
		return "from the same dropper with other bottles, or from what was weighed or stated"
	case 1:
		return "from 1 run"
	}
	return fmt.Sprintf("from %d runs", runs)
}

// Known is what is known of a dropper, or a pipette, and a bottle together: Drop by label and
// plan, but for what it brings, which is what all runs say.
type Known struct {
	Drop
	ULNow      float64   `json:"drop_ul_now"` // the size alone
	ULSDPct    float64   `json:"drop_ul_sd_pct"`
	MolarNow   float64   `json:"molar_now"` // the strength alone
	MolarSDPct float64   `json:"molar_sd_pct"`
	Runs       int       `json:"runs"`
	Last       time.Time `json:"last"`
}

// Known is what is known of each pair of dropper and bottle at a time.
func (b *Book) Known(at time.Time) (out []Known) {
	var s recipe.Setup
	index := map[string]int{}
	for _, r := range b.Runs {
		for _, d := range r.Drops {
			key := d.dropper() + "\x00" + strings.ToLower(d.Bottle)
			i, ok := index[key]
			if !ok {
				i = len(out)
				index[key], out = i, append(out, Known{})
				s.Stocks = append(s.Stocks, recipe.Stock{})
			}
			k := &out[i]
			k.Drop = d
			k.Umol, k.SDPct = 0, 0 // unless the runs together say it
			k.Runs++
			s.Stocks[i] = recipe.Stock{Name: key, Reagent: table.Reagent{Name: d.Reagent}, Molar: chem.Molarity(d.Molar), Drop: chem.Volume(d.DropUL) * chem.Microlitre,
				DropSD: unknownSD(d.ByML), MolarSD: otherBottle, Bottle: d.Bottle, DropperName: d.Dropper, ByML: d.ByML}
		}
	}
	var t Taken
	j := b.jointly(&s, at, &t)
	for i := range out {
		k, st := &out[i], &s.Stocks[i]
		x, ok := j.stock(i)
		if !ok {
			continue
		}
		d := givenWith(*st)
		q, w, ln := j.now(d, "")
		k.Umol, k.SDPct, k.Last = x.Factor*k.Molar*k.DropUL, math.Hypot(x.SharedSDPct, x.OwnSDPct), x.Last
		k.ULNow, k.ULSDPct = k.DropUL*math.Exp(ln), sd(j.cov(&q, w, &q, w)+session*session)
		k.MolarNow, k.MolarSDPct = k.Molar*x.MLFactor, x.MLSDPct
	}
	slices.SortFunc(out, func(a, b Known) int {
		return cmp.Or(cmp.Compare(a.Dropper, b.Dropper), cmp.Compare(a.Bottle, b.Bottle))
	})
	return out
}

// contradicted is how many standard deviations what a drop brings is off what was
// weighed and labelled, from which on that is said.
const contradicted = 3.0

// Contradictions are droppers that were weighed and bottles with a label which a
// run has shown to bring something else together.
func (b *Book) Contradictions() (out []string) {
	for _, w := range b.Weighs {
		for _, r := range b.Runs {
			for _, d := range r.Drops {
				if !same(d.Dropper, w.Dropper) {
					continue
				}
				walk := math.Abs(months(r.At, w.At)-months(w.At, r.At)) * dropWalk * dropWalk
				v := math.Pow(w.SDPct/100, 2) + otherBottle*otherBottle + math.Pow(d.SDPct/100, 2) + math.Pow(r.SharedSDPct/100, 2) + session*session + walk
				if ln := math.Log(d.Umol / (w.UL * d.Molar)); math.Abs(ln) > contradicted*math.Sqrt(v) {
					out = append(out, fmt.Sprintf("on %s a drop of %s from dropper %s brought %.2f of what its label and the drop weighed on %s would give: the bottle has another strength, or the dropper has changed; weigh it again",
						day(r.At), d.Bottle, d.Dropper, math.Exp(ln), day(w.At)))
				}
			}
		}
	}
	return out
}

// Valid reports what cannot be in a book.
func (b *Book) Valid() error {
	for i, r := range b.Runs {
		where := fmt.Sprintf("run %d", i+1)
		if r.At.IsZero() {
			return fmt.Errorf("%s: no date (at)", where)
		}
		if !within(r.SharedSDPct, 0, 100) {
			return fmt.Errorf("%s: shared_sd_pct = %g: must be 0 to 100", where, r.SharedSDPct)
		}
		for _, d := range r.Drops {
			if err := d.valid(); err != nil {
				return fmt.Errorf("%s: %w", where, err)
			}
		}
		if r.Electrode != nil {
			if err := r.Electrode.valid(); err != nil {
				return fmt.Errorf("%s: %w", where, err)
			}
		}
	}
	for _, s := range b.Stated {
		if strings.TrimSpace(s.Bottle) == "" || !within(s.Molar, 1e-4, 25) || !within(s.SDPct, 0.01, 60) {
			return fmt.Errorf("stated: bottle %q with %g mol/L ± %g %% is impossible", s.Bottle, s.Molar, s.SDPct)
		}
		if !within(s.CarbonPct, 0, 100) || !within(s.CarbonSDPct, 0, 100) {
			return fmt.Errorf("stated: bottle %q with %g ± %g %% of carbonate is impossible", s.Bottle, s.CarbonPct, s.CarbonSDPct)
		}
	}
	return nil
}

func (d *Drop) valid() error {
	switch {
	case strings.TrimSpace(d.Bottle) == "":
		return fmt.Errorf("a drop without a bottle")
	case !within(d.Molar, 1e-4, 25) || !within(d.DropUL, 0.5, 1000):
		return fmt.Errorf("bottle %s: %g mol/L in drops of %g µL is impossible", d.Bottle, d.Molar, d.DropUL)
	case !within(d.Umol/(d.Molar*d.DropUL), 0.05, 20):
		return fmt.Errorf("bottle %s: umol_a_drop = %g, where the labels give %g", d.Bottle, d.Umol, digits(d.Molar*d.DropUL, 4))
	case !within(d.SDPct, 0.01, 100):
		return fmt.Errorf("bottle %s: sd_pct = %g: must be 0.01 to 100", d.Bottle, d.SDPct)
	}
	return nil
}

func within(x, low, high float64) bool { return x >= low && x <= high }

// Names are the droppers, bottles and electrodes that are known, sorted.
func (b *Book) Names(now time.Time) (out []string) {
	for _, k := range b.Known(now) {
		out = append(out, k.Bottle, k.Dropper)
	}
	for _, s := range b.Stated {
		out = append(out, s.Bottle)
	}
	for _, r := range b.Runs {
		if r.Electrode != nil {
			out = append(out, r.Electrode.Name)
		}
	}
	slices.Sort(out)
	return slices.DeleteFunc(slices.Compact(out), func(s string) bool { return s == "" })
}
