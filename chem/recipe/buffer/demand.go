// Package buffer is from what a person wants to the buffers that reach it: the demand, the
// forms that supply a system, the amounts that have the pH in use, a ranking with its
// reasons; and what a content that somebody already has will give.
package buffer

import (
	"fmt"
	"regexp"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
)

// Way is how a buffer is made.
type Way string

// The two ways.
const (
	BySalts    Way = "salts"   // two forms of it, by their ratio
	ByTitrant  Way = "titrate" // one form, and a strong acid or base
	DefaultWay     = ByTitrant
)

// Demand is what a person wants, before anything is chosen.
type Demand struct {
	PH        float64 // in use
	Tolerance float64 // half width
	Use       chem.Celsius
	Bench     chem.Celsius
	Molar     chem.Molarity // of the buffer in use, all forms together
	Volume    chem.Volume   // the mark
	Times     float64       // how many times stronger than in use it is made; 1 is as used
	With      []Ingredient  // what is in it besides, amounts in the whole of it
	Read      []string      // how what is to be in it was read, where the sheet does not show it
	Apart     []string      // what is to be in it and is left out of account, as written, with why
	Gas       float64       // share of carbon dioxide in the moist gas that a recipe to examine is kept under; 0 is closed
	Fill      float64       // share of Volume in the beaker at the start

	Avoid  []table.Property
	Steady bool    // the pH is not to move with temperature
	Ionic  float64 // mol/kg in use; 0 leaves it as it comes
	Salt   string  // that raises it

	Buffer  string   // system or reagent; "" is all of them
	Anyway  bool     // also further than 1 from pKa′
	Way     Way      //
	Have    []string // forms in the cupboard: names or formulas with the hydrate
	Purity  float64  // of what is weighed, 0 to 1 by mass
	Bottles []Bottle // solutions at hand
	Acid    string   // strong acid to titrate with
	Base    string   // strong base; "" takes the hydroxide of the buffer's own cation

	DropUL    *float64 // µL; nil is the default dropper
	DropSDPct *float64
}

// Ingredient is what is to be in it beside the buffer.
type Ingredient struct {
	Name    string // as somebody wrote it, without the amount
	Reagent table.Reagent
	Amount  chem.Amount // in the finished solution; grams of what has no molar mass
	Share   string      // "10 % v/v" where it was given so
}

// inUse is the volume of all that is made, as it is used.
func (d *Demand) InUse() chem.Volume { return d.Volume * chem.Volume(d.Times) }

// Content is the amount of buffer in all that is made.
func (d *Demand) Content() chem.Amount { return d.Molar.In(d.InUse()) }

// besides is what is in it beside the buffer, without water.
func (d *Demand) besides() chem.Solution {
	var s chem.Solution
	for _, x := range d.With {
		s = chem.Mix(s, x.Reagent.Dissolved(x.Amount))
	}
	return s
}

// AsStock is what stands at the mark, of a solution in use: the same in less water.
func (d *Demand) AsStock(s chem.Solution) chem.Solution {
	s.Volume, s.Water = d.Volume, 0
	return s
}

// Bottle is a solution at hand.
type Bottle struct {
	Reagent table.Reagent
	Molar   chem.Molarity
	Known   string // under this name its strength is remembered; empty for none
}

// Name is the label of the bottle.
func (b Bottle) Name() string {
	return fmt.Sprintf("%s %s M", Short(b.Reagent), chem.Digits(float64(b.Molar), 3))
}

// NewDemand is a demand with the usual values for all that is seldom said.
func NewDemand(ph float64) Demand {
	return Demand{
		PH: ph, Tolerance: recipe.DefaultTolerance, Use: recipe.DefaultTempC, Bench: recipe.DefaultTempC,
		Molar: 0.05, Volume: 0.5, Times: 1, Fill: 0.8, Salt: "NaCl", Way: DefaultWay, Purity: 1, Acid: "HCl",
	}
}

// check lists what is wrong with a demand. Field names are those of the
// command line.
func (d *Demand) check() recipe.Problems {
	var bad recipe.Problems
	num := func(field string, v, low, high float64, unit, hint string) {
		if !(v >= low && v <= high) {
			bad.Add(field, fmt.Sprintf("%s%s is outside %s–%s%s", chem.Digits(v, 4), unit, chem.Digits(low, 4), chem.Digits(high, 4), unit), hint)
		}
	}
	num("ph", d.PH, 1, 13, "", "the model and the coach work from pH 1 to 13")
	num("tolerance", d.Tolerance, 0.01, 1, "", "0.02 is the finest that a bench meter supports, 0.05 is usual")
	num("temp", float64(d.Use), 0, 60, " °C", "the model holds from 0 to 60 °C")
	num("bench-temp", float64(d.Bench), 0, 60, " °C", "the model holds from 0 to 60 °C")
	num("mM", 1e3*float64(d.Molar), 0.1, 5000, " mM", "buffers are usually made at 5 to 200 mM, stocks at up to 1000")
	num("strength", d.Times, 1, recipe.MostTimes, " times", "10 is usual for a stock that is diluted before use; 1 is made as it is used")
	if (d.Ionic != 0 || d.Times > 1) && 1e3*float64(d.Molar)*d.Times > 5000 {
		bad.Add("strength", fmt.Sprintf("%s mM is more than a stock can hold", chem.Digits(1e3*float64(d.Molar)*d.Times, 3)), "a weaker stock, or less buffer")
	}
	num("ml", d.Volume.Millilitres(), 1, 1e5, " mL", "give the volume of the finished buffer, in mL")
	num("fill", 100*d.Fill, 30, 95, " %", "80 % is usual: room is left for the titrant")
	num("purity", 100*d.Purity, 10, 100, " %", "the purity by mass is on the label; 100 if none is given")
	if d.Ionic != 0 {
		num("ionic", 1e3*d.Ionic, 1, 2000, " mM", "0 leaves the ionic strength unadjusted")
	}
	if d.DropUL != nil {
		num("drop-ul", *d.DropUL, 1, 500, " µL", "a dropper gives 20 to 60 µL, a fine tip 10")
	}
	if d.Way != BySalts && d.Way != ByTitrant {
		bad.Add("way", fmt.Sprintf("%q is not known", d.Way), "salts: both forms mixed; titrate: one form and a strong acid or base")
	}
	for _, p := range d.Avoid {
		if !slices.Contains(table.PropertyNames(), p) {
			bad.Add("avoid", fmt.Sprintf("%q is not known", p), "known are metals, calcium, aldehydes, uv, diols, volatile and temperature")
		}
	}
	for _, b := range d.Bottles {
		num("stock", float64(b.Molar), 1e-4, 25, " M", "give the strength in mol/L, as in \"NaOH 1 M\"")
	}
	return bad
}

// organic finds carbon in a formula.
var organic = regexp.MustCompile(`C(?:[^a-z]|$)`)

// short is how a bottle or a jar is called at the bench: the formula of the
// simple inorganic ones, else the name.
func Short(r table.Reagent) string {
	if r.Definite() && len(r.Formula) <= 5 && !organic.MatchString(r.Formula) {
		return r.Formula
	}
	return r.FullName()
}
