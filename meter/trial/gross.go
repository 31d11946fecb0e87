package trial

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/sim"
)

// Gross is a gross mistake of the bench.
type Gross uint8

// The gross mistakes.
const (
	Sound       Gross = iota // none
	WeakStock                // the coarse stock ten times weaker than its label
	StrongStock              // the coarse stock twice as strong
	HalfBuffer               // half of the buffer weighed
	MoreBuffer               // one and a half times the buffer
	OtherSalt                // the other form of the buffer weighed
	grossCount
)

var grossNames = [...]string{"sound", "stock 10× weaker", "stock 2× stronger", "half the buffer", "1.5× the buffer", "the other salt"}

// String names the mistake for people.
func (g Gross) String() string {
	if int(g) < len(grossNames) {
		return grossNames[g]
	}
	return "unknown"
}

// commit makes a mistake happen; false when it cannot on this bench.
func (g Gross) commit(b *Bench, t *sim.Truth) bool {
	switch g {
	case WeakStock:
		t.LnStrength[coarse] += math.Log(0.1)
	case StrongStock:
		t.LnStrength[coarse] += math.Log(2)
	case HalfBuffer:
		t.LnAmount += math.Log(0.5)
	case MoreBuffer:
		t.LnAmount += math.Log(1.5)
	case OtherSalt:
		r, ok := b.other()
		if !ok {
			return false
		}
		t.Weighed = []recipe.Portion{{Reagent: r, Amount: b.Setup.Weighed[0].Amount}}
	}
	return true
}

// anyGross draws one of the mistakes that can happen on the bench.
func anyGross(r *rand.Rand, b *Bench, t *sim.Truth) Gross {
	for {
		if g := 1 + Gross(r.IntN(int(grossCount)-1)); g.commit(b, t) {
			return g
		}
	}
}

// other is the other form of the buffer, when both stand on the shelf as solids.
func (b *Bench) other() (table.Reagent, bool) {
	name := b.system.acid
	if b.Up {
		name = b.system.base
	}
	if name == "" || !b.Setup.Weighed[0].Reagent.Solid() {
		return table.Reagent{}, false
	}
	r, err := table.ByAmount(name)
	return r, err == nil && r.Solid()
}

// rightly reports whether the code of a named mistake says what is true.
func (b *Bench) rightly(code string) bool {
	switch b.Gross {
	case WeakStock:
		return code == fmt.Sprintf("stock:%s:0.1", b.Setup.Stocks[coarse].Name)
	case StrongStock:
		return code == fmt.Sprintf("stock:%s:2", b.Setup.Stocks[coarse].Name)
	case HalfBuffer:
		return code == "amount:0.5"
	case MoreBuffer:
		return code == "amount:1.5"
	case OtherSalt:
		name, ok := strings.CutPrefix(code, "other_form:")
		if !ok {
			return false
		}
		r, err := table.ByAmount(name)
		return err == nil && spectators(r) == spectators(b.Truth.Weighed[0].Reagent)
	}
	return false
}

// spectators is the charge of the spectator ions per mole: it tells the forms
// of one substance apart, whatever the counter-ion.
func spectators(r table.Reagent) int {
	z := 0
	for _, p := range r.Parts {
		if p.System == nil {
			z += p.Count * p.Ion.Charge
		}
	}
	return z
}

// Brings is how many times what the plan says a drop of the coarse stock does here, where
// the beaker buffers: by its size, the strength of the stock, and how much buffer there is.
func (b *Bench) Brings() float64 {
	return math.Exp(b.Truth.LnDrop[b.Setup.Stocks[coarse].Dropper] + b.Truth.LnStrength[coarse] - b.Truth.LnAmount)
}
