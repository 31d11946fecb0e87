package bench

import (
	"math"
	"strings"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/probe"
)

// Book is what is known of a bench.
type Book struct {
	Runs   []Run     `toml:"run"`
	Stated []Stated  `toml:"stated,omitempty"`
	Weighs []Weighed `toml:"-"` // droppers that were weighed, kept elsewhere
}

// Run is what one run has shown.
type Run struct {
	At          time.Time  `toml:"at" json:"at"`
	Plan        string     `toml:"plan" json:"plan"`
	Journal     string     `toml:"journal,omitempty" json:"journal,omitempty"`
	SharedSDPct float64    `toml:"shared_sd_pct" json:"shared_sd_pct"` // that its bottles have in common: what was weighed
	Drops       []Drop     `toml:"drop" json:"drop"`
	Electrode   *Electrode `toml:"electrode,omitempty" json:"electrode,omitempty"`
}

// Drop is what a drop from a bottle was seen to bring, or 1 mL by a pipette or a burette.
type Drop struct {
	Dropper string  `toml:"dropper,omitempty" json:"dropper,omitempty"` // empty: that of the bottle
	Bottle  string  `toml:"bottle" json:"bottle"`
	Reagent string  `toml:"reagent" json:"reagent"`
	Molar   float64 `toml:"molar" json:"molar"`     // by the label
	DropUL  float64 `toml:"drop_ul" json:"drop_ul"` // by the plan; 1000 by pipette or burette
	ByML    bool    `toml:"by_ml,omitempty" json:"by_ml,omitempty"`
	Umol    float64 `toml:"umol_a_drop" json:"umol_a_drop"`
	SDPct   float64 `toml:"sd_pct" json:"sd_pct"` // without what is shared
}

// Electrode is what a run has learned of an electrode.
type Electrode struct {
	Name      string    `toml:"name" json:"name"`
	TauS      float64   `toml:"tau_s" json:"tau_s"`
	TauSDPct  float64   `toml:"tau_sd_pct" json:"tau_sd_pct"`
	LargePct  float64   `toml:"large_late_part_pct" json:"large_late_part_pct"` // chance of it
	LatePct   []float64 `toml:"late_55_120_260_s_pct" json:"late_55_120_260_s_pct"`
	NoisePH   []float64 `toml:"noise_ph" json:"noise_ph"` // were it quiet, usual or noisy
	NoisePct  []float64 `toml:"noise_pct" json:"noise_pct"`
	NoiseFirm []float64 `toml:"noise_firm" json:"noise_firm"`
}

// Stated is the strength of a bottle as a person knows it, from a standardisation.
type Stated struct {
	At     time.Time `toml:"at" json:"at"`
	Bottle string    `toml:"bottle" json:"bottle"`
	Molar  float64   `toml:"molar" json:"molar"`
	SDPct  float64   `toml:"sd_pct" json:"sd_pct"`
	// Of a base whose carbonate a standardisation has shown: mol in 100 mol.
	CarbonPct   float64 `toml:"carbonate_pct,omitempty" json:"carbonate_pct,omitempty"`
	CarbonSDPct float64 `toml:"carbonate_sd_pct,omitempty" json:"carbonate_sd_pct,omitempty"` // 0 where that is not known
}

// Weighed is a dropper that was weighed.
type Weighed struct {
	At      time.Time
	Dropper string
	UL      float64
	SDPct   float64
}

// Figures of the law of age, and of what is asked of a finding.
const (
	dropWalk      = 0.010 // ln a root month
	bottleWalk    = 0.010 // ln a root month: acid fumes off, base takes up carbon dioxide
	takesUp       = 0.002 // mol of carbon dioxide a mol of base and month in a bottle that is opened now and then, give or take as much (a choice; common practice, no source)
	session       = 0.010 // ln, of a drop from one session to the next
	electrodeHalf = 60.0  // days
	electrodeMost = 0.95  // weight of what was learned of an electrode just now
	otherBottle   = 0.04  // ln, of the strength of a bottle that is not at hand today
	otherDropper  = 0.10  // ln, and of the drop of such a dropper
	otherPipette  = 0.01  // ln, and of 1 mL by such a pipette or burette (common practice, no source)
	relabelled    = 0.10  // ln, from which on a label says that it is another bottle
)

// same reports whether two names are of one thing.
func same(a, b string) bool { return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b)) }

// dropper is the name of what a drop falls from: of its own, or that of the bottle. A
// bottle's pipette or burette is none of its droppers.
func (d *Drop) dropper() string { return dropperOf(d.Dropper, d.Bottle, d.ByML) }

func dropperOf(dropper, bottle string, byML bool) string {
	dropper, bottle = strings.ToLower(strings.TrimSpace(dropper)), strings.ToLower(strings.TrimSpace(bottle))
	switch {
	case byML:
		return "mL of " + bottle
	case dropper == "":
		return "that of " + bottle
	}
	return dropper
}

// portion is what is counted: a drop, or 1 mL by pipette or burette, µL.
func portion(st recipe.Stock, byML bool) float64 {
	if byML {
		return 1000
	}
	return st.Drop.Microlitres()
}

// unknownSD is what is thought of a portion where the plan does not say.
func unknownSD(byML bool) float64 {
	if byML {
		return otherPipette
	}
	return otherDropper
}

func givenWith(st recipe.Stock) string { return dropperOf(st.DropperName, st.Bottle, st.ByML) }

// months is the time between two dates, in months: one that lies ahead was dated by a clock that was
// wrong, and is no younger than it is far.
func months(from, to time.Time) float64 {
	return math.Abs(to.Sub(from).Hours() / (24 * 30.44))
}

// Forget takes everything out that is known of a dropper, a bottle or an electrode
// of a name, and is how many findings that were.
func (b *Book) Forget(name string) (n int) {
	var runs []Run
	for _, r := range b.Runs {
		var drops []Drop
		for _, d := range r.Drops {
			if same(d.Bottle, name) || same(d.Dropper, name) {
				n++
				continue
			}
			drops = append(drops, d)
		}
		if r.Drops = drops; r.Electrode != nil && same(r.Electrode.Name, name) {
			r.Electrode = nil
			n++
		}
		if len(r.Drops) > 0 || r.Electrode != nil {
			runs = append(runs, r)
		}
	}
	b.Runs = runs
	var stated []Stated
	for _, s := range b.Stated {
		if same(s.Bottle, name) {
			n++
			continue
		}
		stated = append(stated, s)
	}
	b.Stated = stated
	return n
}

// Put adds what a run has shown, in place of what the same journal showed before.
func (b *Book) Put(r Run) {
	var runs []Run
	for _, old := range b.Runs {
		if r.Journal == "" || old.Journal != r.Journal {
			runs = append(runs, old)
		}
	}
	b.Runs = append(runs, r)
}

// State puts down the strength of a bottle, in place of what was stated before.
func (b *Book) State(s Stated) {
	var list []Stated
	for _, old := range b.Stated {
		if !same(old.Bottle, s.Bottle) {
			list = append(list, old)
		}
	}
	b.Stated = append(list, s)
}

// electrodeOf are the figures of what was learned.
func electrodeOf(name string, k probe.Known) *Electrode {
	e := &Electrode{Name: name, TauS: digits(k.Tau, 3), TauSDPct: digits(100*k.TauSD, 2), LargePct: percent(k.LargeLate)}
	for i := range k.Noise {
		e.LatePct = append(e.LatePct, percent(k.Late[i]))
		e.NoisePH = append(e.NoisePH, digits(k.Noise[i], 3))
		e.NoisePct = append(e.NoisePct, percent(k.Class[i]))
		e.NoiseFirm = append(e.NoiseFirm, digits(k.Firm[i], 3))
	}
	return e
}

// known are the figures for the tracker.
func (e *Electrode) known() (k probe.Known) {
	k.Tau, k.TauSD, k.LargeLate = e.TauS, e.TauSDPct/100, e.LargePct/100
	for i := range k.Noise {
		k.Late[i], k.Noise[i], k.Class[i], k.Firm[i] = e.LatePct[i]/100, e.NoisePH[i], e.NoisePct[i]/100, e.NoiseFirm[i]
	}
	return k
}

// percent keeps a chance in the file away from what cannot be.
func percent(p float64) float64 { return math.Round(1e4*math.Min(math.Max(p, 1e-4), 1)) / 100 }

// digits rounds to n significant digits; what is no number is 0 in the file.
func digits(x float64, n int) float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0
	}
	return chem.Rounded(x, n)
}
