package belief

import (
	"math"

	"example.org/halfdrop/chem/coach/account"
)

// Shown is what the readings of one run say of the drops of a stock, whatever was
// thought of them before.
type Shown struct {
	Stock    int
	LnFactor float64 // ln(charge of a drop / labelled charge of it)
	OwnSD    float64 // of LnFactor, the part that is of this stock alone
	Poured   bool    // it is of its mL: none of it was counted in drops
}

// Lesson is what a run has shown of its stocks.
type Lesson struct {
	Stocks   []Shown
	SharedSD float64 // of LnFactor, the part that all of them have in common: what was weighed
}

// Figures of judgement of what a run teaches, a choice of this project.
const (
	teachWide  = 1.0  // ln, prior spread of a drop when its run is asked for it alone
	teachSD    = 0.10 // ln, spread of what was shown above which it is no lesson
	teachSound = 0.90 // probability of "as planned" from which on a run teaches
)

// Lesson is what a history that has ended well, with two readings or more of a beaker that was
// weighed, says of the drops of its stocks. ok is false when it says nothing: where "as planned"
// is not what the readings speak for, they do not tell what a drop was either.
func (bel *Belief) Lesson() (l Lesson, ok bool) {
	if _, mistaken := bel.Suspects(); !(1-mistaken-bel.Free.Weight >= teachSound) {
		return l, false
	}
	shown, p, ok := openly(bel.Bench, bel.History)
	if !ok {
		return l, false
	}
	var all []predicted
	for _, q := range shown {
		if q.sd <= teachSD {
			all = append(all, q.predicted)
			l.Stocks = append(l.Stocks, Shown{Stock: q.stock, LnFactor: q.mean, OwnSD: q.sd, Poured: q.poured})
		}
	}
	if len(all) == 0 {
		return l, false
	}
	l.share(p, all)
	return l, true
}

// share parts the spread of each stock, in OwnSD until now, into what is common to
// all of them and its own.
func (l *Lesson) share(p *posterior, all []predicted) {
	shared := account.WeighedSD * account.WeighedSD
	for i := range all {
		shared = math.Min(shared, 0.9*l.Stocks[i].OwnSD*l.Stocks[i].OwnSD)
		for j := range i {
			shared = math.Min(shared, math.Max(p.cov(all[i], all[j]), 0))
		}
	}
	l.SharedSD = math.Sqrt(shared)
	for i := range l.Stocks {
		s := &l.Stocks[i]
		s.OwnSD = math.Sqrt(s.OwnSD*s.OwnSD - shared)
	}
}

// dropShown is the factor of the drops of a stock as a run shows it; of its mL where none
// of it was counted in drops.
type dropShown struct {
	predicted
	stock  int
	sd     float64
	poured bool
}

// openly is what a run shows of the drops of its stocks to somebody who thinks nothing of
// them, and the fit that it comes from.
func openly(b *account.Bench, h account.History) ([]dropShown, *posterior, bool) {
	wide := openMinded(b)
	used, drops := make([]bool, len(b.Stocks)), make([]bool, len(b.Stocks))
	for _, a := range h.Additions {
		used[a.Stock], drops[a.Stock] = true, drops[a.Stock] || a.Drops > 0
	}
	acc := wide.AsPlanned()
	p := fit(&acc, h, newCommon(h.Observations), nil, math.Inf(-1))
	if math.IsInf(p.logEv, -1) {
		return nil, nil, false
	}
	var all []dropShown
	for j, u := range used {
		if u {
			q := p.factor(wide, len(h.Additions), j)
			all = append(all, dropShown{q, j, p.sd(q), !drops[j]})
		}
	}
	return all, &p, true
}

// openMinded is the bench of somebody who thinks nothing of its drops, and of the amount weighed
// what ordinary care makes it.
func openMinded(b *account.Bench) *account.Bench {
	w := *b
	w.AmountSD, w.Stocks = 0, nil
	for _, s := range b.Stocks {
		s.Learned, s.DropSD, s.StrengthSD = nil, 0, teachWide
		w.Stocks = append(w.Stocks, s)
	}
	return &w
}
