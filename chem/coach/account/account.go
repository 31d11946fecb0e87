package account

import (
	"fmt"
	"slices"

	"example.org/halfdrop/chem"
)

// Care says how careful the hands are: factors on the prior spreads.
type Care struct {
	Prior                   float64 // its probability before any reading
	Drop, Strength, Scatter float64 // of the spreads of drops, bottles and single drops
	Shift                   float64 // of that of the scale
	Fresh                   bool    // what earlier runs have shown is forgotten
}

var cares = [...]Care{
	{Prior: 0.80, Drop: 1, Strength: 1, Scatter: 1, Shift: 1},
	{Prior: 0.14, Drop: 2.2, Strength: 2, Scatter: 2, Shift: 1},
	// A meter that was calibrated badly, or never: sensors of practical courses
	// were seen 0.3 to 0.6 off.
	{Prior: 0.06, Drop: 1, Strength: 1, Scatter: 1, Shift: 7},
}

// Account is one account of the beaker and the bottles.
type Account struct {
	Mistake *Mistake // nil: as planned
	Care    Care
	Prior   float64            // its probability before any reading
	Weighed chem.Composition   // what is in the beaker but water
	Stocks  []chem.Composition // per litre; accounts share them

	bench  *Bench
	buffer float64  // mol, the scale of the starting excess
	amount float64  // standard deviation of ln(amount weighed)
	missed int      // addition, from 1, that did not reach the beaker
	other  int      // addition, from 1, that was from another bottle
	was    Addition // what that one really was
	jump   int      // addition, from 1, with something unlogged around it
	begun  bool     // something was given before the first reading
}

// Deaf reports whether the electrode does not follow the beaker by this account.
func (a *Account) Deaf() bool { return a.Mistake != nil && a.Mistake.Deaf }

// All are the accounts after a history: "as planned" and the mistakes, each for every degree
// of care, those of one degree after those of the other in the same order. Their priors sum
// to 1.
func (b *Bench) All(h History) []Account {
	mistakes := h.suspected(append(b.Mistakes[:len(b.Mistakes):len(b.Mistakes)], b.mishaps(h)...))
	sound := 1.0
	for i := range mistakes {
		sound -= mistakes[i].Prior
	}
	all := h.Noise.weigh(b.careful())
	out, held := make([]Account, 0, len(all)*(1+len(mistakes))), b.labelled()
	for _, c := range all {
		out = append(out, b.account(nil, c, sound*c.Prior, held))
		for i := range mistakes {
			out = append(out, b.account(&mistakes[i], c, b.likely(&mistakes[i], c), held))
		}
	}
	for i := range out {
		out[i].begun = h.Begun
		if out[i].jump == 0 {
			out[i].jump = h.Jump
		}
	}
	return out
}

// mishapPrior is how likely it is that one addition missed the beaker, that one was not
// logged, or that one was from another bottle than was said; a choice of this project.
const mishapPrior = 0.003

// mishaps are the mistakes that may have happened with the latest additions.
func (b *Bench) mishaps(h History) []Mistake {
	var out []Mistake
	n := len(h.Additions)
	for k := max(1, n-1); k <= n; k++ {
		out = append(out,
			Mistake{Name: fmt.Sprintf("addition %d did not reach the beaker", k), Code: fmt.Sprintf("missed:%d", k), Prior: mishapPrior, Missed: k},
			Mistake{Name: fmt.Sprintf("something was added around addition %d that was not logged", k), Code: fmt.Sprintf("unlogged:%d", k), Prior: mishapPrior, Jump: k})
		out = append(out, b.Exchanges(h, k)...)
	}
	return out
}

// Exchanges are the bottles that addition number k, from 1, may have been from instead of the
// one that was said: as many drops of that bottle's, or as many mL.
func (b *Bench) Exchanges(h History, k int) []Mistake {
	said := h.Additions[k-1]
	var out []Mistake
	for j := range b.Stocks {
		if j == said.Stock {
			continue
		}
		is := Addition{Stock: j, Volume: said.Volume, Drops: said.Drops}
		if said.Drops > 0 {
			is.Volume = chem.Volume(said.Drops) * b.Stocks[j].Drop
		}
		out = append(out, Mistake{
			Name: fmt.Sprintf("addition %d was from the bottle %s", k, b.Stocks[j].Name), Code: fmt.Sprintf("bottle:%d:%s", k, b.Stocks[j].Name),
			Prior: mishapPrior / float64(len(b.Stocks)-1), Exchanged: k, Was: is,
		})
	}
	return out
}

// AsPlanned is the account that all is as planned, and the hands careful.
func (b *Bench) AsPlanned() Account { return b.account(nil, cares[0], 1, b.labelled()) }

// labelled is what a litre of each bottle holds by its label.
func (b *Bench) labelled() []chem.Composition {
	out := make([]chem.Composition, len(b.Stocks))
	for j := range b.Stocks {
		out[j] = b.Stocks[j].PerLitre
	}
	return out
}

// account is one of hands of some care; held are the bottles as labelled, which it shares with
// others.
func (b *Bench) account(m *Mistake, c Care, prior float64, held []chem.Composition) Account {
	a := Account{bench: b, Mistake: m, Care: c, Prior: prior, Weighed: b.Weighed, Stocks: held, buffer: b.Scale(b.Buffer), amount: b.amountSD()}
	if m == nil {
		return a
	}
	if m.Weighed != nil {
		a.Weighed, a.buffer = *m.Weighed, b.Scale(m.Buffer)
	}
	if m.AmountSD > 0 {
		a.amount = m.AmountSD
	}
	if m.Stock > 0 {
		a.Stocks = slices.Clone(held)
		a.Stocks[m.Stock-1] = *m.PerLitre
	}
	a.missed, a.jump, a.other, a.was = m.Missed, m.Jump, m.Exchanged, m.Was
	return a
}

// lookedShare is what is left of the prior of a mistake that a person has looked for
// and not found: people look at labels, and labels are wrong now and then. Who has
// looked twice is believed. A choice of this project.
const lookedShare = 0.02

// suspected are the mistakes of a list that are still thought of: each time that a
// person has looked for one and not found it, less.
func (h *History) suspected(list []Mistake) []Mistake {
	if len(h.Looked) == 0 && h.Jump == 0 {
		return list
	}
	var out []Mistake
	for _, m := range list {
		if m.Jump > 0 && m.Jump == h.Jump {
			continue // it is known
		}
		times := 0
		for _, code := range h.Looked {
			if code == m.Code {
				times++
			}
		}
		switch {
		case times >= 2:
			continue
		case times == 1:
			m.Prior *= lookedShare
		}
		out = append(out, m)
	}
	return out
}
