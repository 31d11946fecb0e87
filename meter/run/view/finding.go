package view

import (
	"math"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
)

// FindingOf is the answer that a history gives on the bench of a plan, whoever has made
// it; nil where nothing can be said.
func FindingOf(g *find.Bench, setup *recipe.Setup, h coach.History) *Finding {
	bel, err := g.Believe(h)
	if err != nil {
		return nil
	}
	f := &Finding{Found: bel.Found(), Strong: true}
	for _, p := range g.Parts {
		for _, n := range p.Dry.Totals {
			f.Strong = f.Strong && n == 0
		}
	}
	nan := math.NaN()
	f.Classic = find.Classic{Steepest: nan, Second: nan, Before: nan, After: nan}
	if f.Main >= 0 {
		f.Stock = setup.Stocks[f.Stations[f.Main].Stock].Name
		for i, st := range f.Stations {
			prev, next := beside(f, i)
			f.Each = append(f.Each, find.Classical(dots(h, st.Stock), find.Near{ML: st.Volume.Millilitres(), Start: setup.Start.Millilitres(), Prev: prev, Next: next}, f.Strong))
		}
		f.Classic = f.Each[f.Main]
	}
	return f
}

// beside are the volumes of the equivalence points with the same bottle before and after
// one, mL; 0 for none. Of a strong acid or base there is one leap, parted by carbonate.
func beside(f *Finding, i int) (prev, next float64) {
	st := f.Stations
	if f.Strong {
		return 0, 0
	}
	if i > 0 && st[i-1].Stock == st[i].Stock {
		prev = st[i-1].Volume.Millilitres()
	}
	if i+1 < len(st) && st[i+1].Stock == st[i].Stock {
		next = st[i+1].Volume.Millilitres()
	}
	return prev, next
}

// dots are the readings of a history against the mL of one bottle; what else was
// added counts as sample.
func dots(h coach.History, stock int) []find.Dot {
	var out []find.Dot
	for _, o := range h.Observations {
		ml := 0.0
		for _, a := range h.Additions[:min(o.After, len(h.Additions))] {
			if a.Stock == stock {
				ml += a.Volume.Millilitres()
			}
		}
		out = append(out, find.Dot{ML: ml, PH: o.PH})
	}
	return out
}

// FoundStep is a reading at rest with what was known by it.
type FoundStep struct {
	ML    float64 `json:"ml"` // of all bottles, until then
	PH    float64 `json:"ph"`
	SD    float64 `json:"sd"`
	Words string  `json:"known"`
}

// FoundSteps are the readings of a history, each with the answer as it was known then.
func FoundSteps(g *find.Bench, h coach.History) (out []FoundStep) {
	for i, o := range h.Observations {
		step := FoundStep{PH: o.PH, SD: o.SD}
		n := min(o.After, len(h.Additions))
		for _, a := range h.Additions[:n] {
			step.ML += a.Volume.Millilitres()
		}
		if bel, err := g.Believe(coach.History{Additions: h.Additions[:n], Observations: h.Observations[:i+1]}); err == nil {
			f := Finding{Found: bel.Found()}
			step.Words = f.Short() + ", " + f.Percent()
		}
		out = append(out, step)
	}
	return out
}
