package bench

import (
	"math"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/probe"
)

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
