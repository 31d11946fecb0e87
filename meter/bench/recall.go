package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/probe"
)

// Taken is what a run takes over from earlier ones, as the journal keeps it.
type Taken struct {
	Stocks    []TakenStock    `json:"stocks,omitempty"`
	Electrode *TakenElectrode `json:"electrode,omitempty"`
	Notes     []string        `json:"notes,omitempty"` // what was not taken over, and why
}

// TakenStock is what is known of the drops of a titrant, or of its mL, against its labels.
type TakenStock struct {
	Titrant     string    `json:"titrant"`
	Factor      float64   `json:"factor"`        // charge of a drop, or of a mL as it is given, times that by the labels
	SharedSDPct float64   `json:"shared_sd_pct"` // the part that bottles of one dropper share
	OwnSDPct    float64   `json:"own_sd_pct"`
	MLFactor    float64   `json:"ml_factor"` // of a volume in mL: the strength alone
	MLSDPct     float64   `json:"ml_sd_pct"`
	ByML        bool      `json:"by_ml,omitempty"` // it is given by a pipette or a burette
	Runs        int       `json:"runs"`
	Last        time.Time `json:"last"`
	CarbonPct   float64   `json:"carbonate_pct,omitempty"` // of a base, mol in 100 mol
	CarbonSDPct float64   `json:"carbonate_sd_pct,omitempty"`
}

// TakenElectrode is what is known of the electrode.
type TakenElectrode struct {
	Electrode
	FreshPct float64   `json:"fresh_pct"` // share of an electrode that nobody knows
	Last     time.Time `json:"last"`
}

// Empty reports whether nothing is taken over.
func (t *Taken) Empty() bool { return t == nil || len(t.Stocks) == 0 && t.Electrode == nil }

// Give tells a coach what was taken over.
func (t *Taken) Give(b *coach.Bench) {
	if t == nil {
		return
	}
	for _, s := range t.Stocks {
		for j := range b.Stocks {
			if b.Stocks[j].Name == s.Titrant {
				give(b, j, &s)
				l := coach.Learned{LnFactor: math.Log(s.Factor), LnPoured: math.Log(s.MLFactor),
					SharedSD: s.SharedSDPct / 100, OwnSD: s.OwnSDPct / 100, PouredSD: s.MLSDPct / 100, Seen: s.Runs > 0}
				if s.ByML { // it is the mL that were seen, with what gives them
					l.LnPoured, l.PouredSD = l.LnFactor, 0
				}
				b.Stocks[j].Learned = &l
			}
		}
	}
}

// Probe is the electrode to begin with.
func (t *Taken) Probe() probe.Electrode {
	if t == nil || t.Electrode == nil {
		return probe.Unknown()
	}
	return t.Electrode.known().Electrode(t.Electrode.FreshPct / 100)
}

// Valid reports what cannot be in what a journal says was taken over.
func (t *Taken) Valid() error {
	if t == nil {
		return nil
	}
	for _, s := range t.Stocks {
		for _, x := range []float64{s.Factor, s.MLFactor} {
			if !(x > 1e-3 && x < 1e3) {
				return fmt.Errorf("%s: a factor of %g is impossible", s.Titrant, x)
			}
		}
		if !(s.CarbonPct >= 0 && s.CarbonPct <= 100 && s.CarbonSDPct >= 0 && s.CarbonSDPct <= 100) {
			return fmt.Errorf("%s: %g ± %g %% of carbonate is impossible", s.Titrant, s.CarbonPct, s.CarbonSDPct)
		}
		for _, x := range []float64{s.SharedSDPct, s.OwnSDPct, s.MLSDPct} {
			if !(x >= 0 && x <= 500) {
				return fmt.Errorf("%s: a spread of %g %% is impossible", s.Titrant, x)
			}
		}
	}
	if t.Electrode != nil {
		return t.Electrode.valid()
	}
	return nil
}

func (e *Electrode) valid() error {
	if !(e.TauS > 0.01 && e.TauS < 1e4 && e.TauSDPct >= 0 && e.TauSDPct < 1e3 && e.LargePct >= 0 && e.LargePct <= 100) {
		return fmt.Errorf("electrode %q: impossible figures", e.Name)
	}
	for _, l := range [][]float64{e.LatePct, e.NoisePH, e.NoisePct, e.NoiseFirm} {
		if len(l) != 3 || slices.ContainsFunc(l, func(x float64) bool { return !(x >= 0 && x <= 1e4) }) {
			return fmt.Errorf("electrode %q: it needs three figures, none below 0", e.Name)
		}
	}
	return nil
}

// Recall is what a plan may take over at a time, on an electrode of a name.
func (b *Book) Recall(s *recipe.Setup, electrode string, at time.Time) Taken {
	var t Taken
	j := b.jointly(s, at, &t)
	for i, st := range s.Stocks {
		if s.Plan.Find != nil && s.What == find.Strength && i == 0 {
			continue // it is what is looked for
		}
		k, ok := j.stock(i)
		if st.ByML {
			found, is := b.bottle(st, at, &t)
			if k.Runs == 0 {
				k, ok = found, is
			}
			k.CarbonPct, k.CarbonSDPct = found.CarbonPct, found.CarbonSDPct
		}
		if ok {
			k.Titrant, k.ByML = st.Name, st.ByML
			t.Stocks = append(t.Stocks, k)
		}
	}
	t.Electrode = b.electrode(electrode, at)
	return t
}

// electrode is what the latest run with it has learned: it had begun with what was
// known before.
func (b *Book) electrode(name string, at time.Time) *TakenElectrode {
	if strings.TrimSpace(name) == "" {
		return nil
	}
	var out *TakenElectrode
	for i := range b.Runs {
		r := &b.Runs[i]
		if r.Electrode == nil || !same(r.Electrode.Name, name) || out != nil && r.At.Before(out.Last) {
			continue
		}
		days := math.Abs(at.Sub(r.At).Hours() / 24)
		out = &TakenElectrode{Electrode: *r.Electrode, Last: r.At, FreshPct: percent(1 - electrodeMost*math.Exp2(-days/electrodeHalf))}
	}
	return out
}

// seen is one finding: ln(µmol a drop), or of a size or a strength alone.
type seen struct {
	dropper, bottle string // empty for none
	run             int    // that it shares an error with; below 0 for none
	at              time.Time
	y               float64 // ln, against the mean before it
	shared, own     float64 // standard deviations, ln
}

// joint is what is thought of droppers and bottles together.
type joint struct {
	s       *recipe.Setup
	at      time.Time
	seen    []seen
	chol    []float64
	v       []float64
	dropVar map[string]float64 // prior of ln drop, by dropper
	strVar  map[string]float64
}

// jointly gathers what was seen of the droppers and bottles of a plan.
func (b *Book) jointly(s *recipe.Setup, at time.Time, t *Taken) *joint {
	j := &joint{s: s, at: at, dropVar: map[string]float64{}, strVar: map[string]float64{}}
	lnDrop, lnMolar := map[string]float64{}, map[string]float64{}
	reagent, opened, byML := map[string]string{}, map[string]time.Time{}, map[string]bool{}
	for _, st := range s.Stocks {
		if st.Bottle == "" {
			continue
		}
		d, k := givenWith(st), strings.ToLower(st.Bottle)
		lnDrop[d], j.dropVar[d] = math.Log(portion(st, st.ByML)), st.DropSD*st.DropSD
		lnMolar[k], j.strVar[k] = math.Log(float64(st.Molar)), st.MolarSD*st.MolarSD
		reagent[k], byML[k] = st.Reagent.Name, st.ByML
		opened[k], _ = time.Parse(time.DateOnly, st.Opened) // zero when it is not known
	}
	for _, w := range b.Weighs {
		d := strings.ToLower(w.Dropper)
		if _, ok := lnDrop[d]; ok { // what was weighed stands for what was thought
			j.see(seen{dropper: d, run: -1, at: w.At, y: math.Log(w.UL) - lnDrop[d], own: w.SDPct / 100})
		}
	}
	for _, x := range b.Stated {
		k := strings.ToLower(x.Bottle)
		ln, ok := lnMolar[k]
		if off := math.Abs(math.Log(x.Molar)-ln) > relabelled; ok && !x.At.Before(opened[k]) && !(off && byML[k]) {
			j.see(seen{bottle: k, run: -1, at: x.At, y: math.Log(x.Molar) - ln, own: x.SDPct / 100})
		}
	}
	for i, r := range b.Runs {
		for _, x := range r.Drops {
			k, d := strings.ToLower(strings.TrimSpace(x.Bottle)), x.dropper()
			ln, ok := lnMolar[k]
			_, given := lnDrop[d]
			switch {
			case !ok && !given:
				continue
			case !ok: // another bottle at the same dropper tells something of the dropper
				lnMolar[k], j.strVar[k] = math.Log(x.Molar), otherBottle*otherBottle
				reagent[k], ln = x.Reagent, math.Log(x.Molar)
			case x.Reagent != reagent[k]:
				t.note("bottle %s held %s on %s: not used", x.Bottle, x.Reagent, day(r.At))
				continue
			case math.Abs(math.Log(x.Molar)-ln) > relabelled:
				t.note("bottle %s was labelled %g mol/L on %s: not used", x.Bottle, x.Molar, day(r.At))
				continue
			case r.At.Before(opened[k]):
				t.note("bottle %s was opened after the run of %s: not used", x.Bottle, day(r.At))
				continue
			}
			if !given {
				lnDrop[d], j.dropVar[d] = math.Log(x.DropUL), math.Pow(unknownSD(x.ByML), 2)
			}
			j.see(seen{dropper: d, bottle: k, run: i, at: r.At, y: math.Log(x.Umol) - lnDrop[d] - ln, shared: r.SharedSDPct / 100, own: x.SDPct / 100})
		}
	}
	j.solve()
	return j
}

func (t *Taken) note(format string, args ...any) {
	if s := fmt.Sprintf(format, args...); !slices.Contains(t.Notes, s) {
		t.Notes = append(t.Notes, s)
	}
}

func day(t time.Time) string { return t.Format(time.DateOnly) }
