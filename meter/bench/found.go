package bench

import (
	"math"
	"strings"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/probe"
)

// bottle is what is known of the strength of a bottle that is given by a pipette or
// a burette: as it was found or stated last. It wanders as any bottle does.
func (b *Book) bottle(st recipe.Stock, at time.Time, t *Taken) (k TakenStock, ok bool) {
	opened, _ := time.Parse(time.DateOnly, st.Opened) // zero when it is not known
	for _, x := range b.Stated {
		if st.Bottle == "" || !same(x.Bottle, st.Bottle) || x.At.Before(opened) {
			continue
		}
		ratio := x.Molar / float64(st.Molar)
		if math.Abs(math.Log(ratio)) > relabelled {
			t.note("bottle %s was found to be %.4g mol/L on %s, and the plan says %g: not used", x.Bottle, x.Molar, day(x.At), float64(st.Molar))
			continue
		}
		sd, carbon, carbonSD := x.Aged(at)
		own := percent(math.Hypot(sd/100, st.DropSD))
		k = TakenStock{Factor: ratio, OwnSDPct: own, MLFactor: ratio, MLSDPct: sd, Last: x.At}
		k.CarbonPct, k.CarbonSDPct = carbon, carbonSD
		ok = true
	}
	return k, ok
}

// Strength is what was found or stated last of a bottle that is labelled so, mol/L; false
// where nothing was, or where it is so far off that the label is that of another one.
func (b *Book) Strength(bottle string, label float64) (x Stated, ok bool) {
	for _, s := range b.Stated {
		if same(s.Bottle, bottle) && math.Abs(math.Log(s.Molar/label)) <= relabelled {
			x, ok = s, true
		}
	}
	return x, ok
}

// Aged is what is thought of a bottle some time after it was found or stated: how sure its
// strength still is, and what carbonate its age has brought, with its spread; 0 and 0 where
// nothing was known of that.
func (s *Stated) Aged(now time.Time) (sdPct, carbonPct, carbonSDPct float64) {
	m := months(s.At, now)
	sdPct = percent(math.Hypot(s.SDPct/100, bottleWalk*math.Sqrt(m)))
	if s.CarbonSDPct > 0 {
		carbonPct, carbonSDPct = aged(s.CarbonPct, s.CarbonSDPct, m)
	}
	return sdPct, carbonPct, carbonSDPct
}

// aged is the carbonate of a base some months after it was known, mol in 100 mol, with its
// standard deviation: a bottle that is opened takes it up from the air.
func aged(pct, sd, months float64) (float64, float64) {
	grown := 100 * takesUp * months
	return digits(pct+grown, 4), digits(math.Hypot(sd, grown), 4)
}

// give tells a bench on which an amount is looked for what is known of a bottle; not
// of the one whose strength is looked for: its readings must not count twice.
func give(b *coach.Bench, j int, s *TakenStock) {
	g, ok := b.Guide.(*find.Bench)
	if !ok || g.What == find.Strength && j == 0 {
		return
	}
	g.Know(j, find.Known{LnStrength: math.Log(s.MLFactor), SD: s.MLSDPct / 100, Carbonate: s.CarbonPct / 100, CarbonSD: s.CarbonSDPct / 100})
}

// Strength is what a run has found of a bottle.
type Strength struct {
	Molar       chem.Molarity
	Relative    float64 // standard deviation, as a share of it
	Carbonate   float64 // in it, mol per mol of base
	CarbonateSD float64 // 0 says that none was looked for
}

// Found is the strength of a bottle as a run has found it, for State.
func Found(bottle string, x Strength, at time.Time) Stated {
	s := Stated{At: at, Bottle: strings.TrimSpace(bottle), Molar: float64(x.Molar), SDPct: percent(x.Relative)}
	if x.CarbonateSD > 0 {
		s.CarbonPct, s.CarbonSDPct = digits(100*math.Max(x.Carbonate, 0), 4), digits(100*x.CarbonateSD, 4)
	}
	return s
}

// Learn puts down what a run has shown of the bottles that have a name.
func (r *Run) Learn(s *recipe.Setup, l coach.Lesson) {
	r.SharedSDPct = digits(100*l.SharedSD, 3)
	for _, x := range l.Stocks {
		st := s.Stocks[x.Stock]
		if st.Bottle == "" {
			continue
		}
		ul := portion(st, x.Poured)
		d := Drop{Bottle: st.Bottle, Reagent: st.Reagent.Name, Molar: float64(st.Molar), DropUL: digits(ul, 4), ByML: x.Poured, SDPct: digits(100*x.OwnSD, 3)}
		if d.Umol = digits(math.Exp(x.LnFactor)*d.Molar*ul, 5); !x.Poured {
			d.Dropper = st.DropperName
		}
		r.Drops = append(r.Drops, d)
	}
}

// Note puts down what a run has learned of an electrode that has a name.
func (r *Run) Note(electrode string, k probe.Known) {
	if name := strings.TrimSpace(electrode); name != "" {
		r.Electrode = electrodeOf(name, k)
	}
}
