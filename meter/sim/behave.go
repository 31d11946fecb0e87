package sim

import (
	"math"

	"example.org/halfdrop/chem"
)

// AirCO2 is the usual uptake of carbon dioxide by an open, gently stirred
// beaker near pH 10, mol/(L s). Derived: 50 mL of a pH 10 carbonate standard
// fell by 0.15 in a day (seen), and holds about 30 mmol/L per pH (its recipe,
// 25 mmol/L of each salt).
const AirCO2 = 5e-8

// ColdDouble is how many °C double the time constants of an electrode: its
// membrane has several times its resistance near 0 °C, and manuals allow
// minutes there (seen); the figure is a choice of this project.
const ColdDouble = 15.0

// stirring is how titrant reaches the electrode: after a dead time, s, and
// with a time constant, s.
func (b *Bench) stirring() (dead, tau float64) {
	tau = b.truth.Mixing
	if b.truth.Stir > 0 {
		tau /= b.truth.Stir
	}
	if !b.ailing {
		return 0, tau
	}
	if s := b.has(unstirred, b.t); s > 0 {
		return deadTime * s, tau
	}
	if s := b.has(zones, b.t); s > 0 {
		tau *= zoneSlower * s
	}
	return 0, tau
}

// uptake is what carbon dioxide the beaker takes up now, mol/(L s). Below pH 8
// next to none stays; above it grows with the alkalinity of the solution.
func (b *Bench) uptake() float64 {
	rate := b.truth.CO2
	if s := b.has(co2, b.t); s > 0 {
		rate = math.Max(rate, AirCO2) * airCO2 * s
	}
	if hard := b.truth.Stir + b.has(vortex, b.t); hard > 1 {
		rate *= hard
	}
	return rate * math.Min(3, math.Max(0, (b.local.PH-8)/2))
}

func (b *Bench) breathes() bool { return b.uptake() > 0 }

// breathe takes up carbon dioxide. Each molecule that becomes bicarbonate
// leaves a proton; its own buffering counts for little and is left out.
func (b *Bench) breathe(h float64) bool {
	mol := b.uptake() * b.total.Water * h // a litre of dilute solution holds about a kilogram of water
	if mol == 0 {
		return false
	}
	b.total.Charge -= mol
	return true
}

// tempAt is the temperature of the beaker at time t, s.
func (b *Bench) tempAt(t float64) chem.Celsius {
	temp := b.truth.tempAt(t)
	if s := b.ills[warm]; s.strength > 0 && t >= s.from {
		temp += chem.Celsius(tooWarm * s.strength * math.Exp(-(t-s.from)/coolsIn))
	}
	return temp
}

// Displayed is what electrode and meter would show, settled and without noise,
// in a solution of that pH.
func (b *Bench) Displayed(ph float64) float64 {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.display(ph)
}

// spill lets fall what nobody logs.
func (b *Bench) spill() {
	s := b.has(unlogged, b.t)
	if s == 0 || b.fell {
		return
	}
	b.fell = true
	v := math.Max(1, math.Round(spiltDrops*s)) * b.setup.Stocks[0].Drop.Litres()
	b.put(1, dose{what: chem.Composition{}.Plus(v, b.bottles[0])})
}

// bottle is a litre of what really comes out of a bottle now.
func (b *Bench) bottle(j int) chem.Composition {
	c := b.bottles[j]
	if j != 0 || !b.ailing {
		return c
	}
	if s := b.has(weakTitrant, b.t); s > 0 {
		c = c.Stronger(math.Pow(0.5, s))
	}
	if b.has(wrongTitrant, b.t) > 0 {
		molar := float64(b.setup.Stocks[j].Molar) * math.Exp(at(b.truth.LnStrength, j))
		c = chem.Composition{Water: c.Water, Charge: -math.Copysign(molar, b.bottles[j].Charge), Strength: molar}
	}
	return c
}

// falls is what of a dose comes into the beaker. A part may stay on the tip
// and come with the next one; a whole dose may miss.
func (b *Bench) falls(what chem.Composition, drops float64) chem.Composition {
	if b.has(missed, b.t) > 0 && !b.lost {
		b.lost = true
		return chem.Composition{}
	}
	if drops <= 0 {
		return what
	}
	hangs := 0.0
	if s := b.has(hung, b.t); s > 0 {
		if b.knocks%2 == 0 { // every other time
			hangs = hungDrops * s
		}
	} else if b.truth.Hung > 0 && b.scatter.Float64() < b.truth.Hung {
		hangs = hungDrops
	}
	all := b.tip.Plus(1, what)
	if hangs == 0 {
		b.tip = chem.Composition{}
		return all
	}
	stays := math.Min(1, hangs/drops)
	b.tip = chem.Composition{}.Plus(stays, what)
	return all.Plus(-stays, what)
}
