package prepare

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
)

// leastBeaker is how much an electrode of ordinary size wants around its bulb in the narrowest
// vessel; common practice, no source.
const leastBeaker = 5 * chem.Millilitre

// notes are remarks on the choice and the recipe.
func (x *Draft) notes(r Recipe) []string {
	var out []string
	d := &x.Demand
	var several *table.AmbiguousError
	if _, err := table.ByAmount(d.Buffer); d.Buffer == x.Buffer.System.Name && errors.As(err, &several) {
		out = append(out, fmt.Sprintf("%q is taken as the buffer, %s: %s", d.Buffer, x.Buffer.From.Name, several.Why))
	}
	if len(d.Have) > 0 && !slices.ContainsFunc(d.Have, func(name string) bool { return isOf(name, x.Buffer.System) }) {
		out = append(out, fmt.Sprintf("none of the solids said to be in stock is a form of %s: %s", x.Buffer.System.Name, strings.Join(d.Have, ", ")))
	}
	if math.Abs(x.Buffer.Distance) > buffer.MaxDistance {
		out = append(out, fmt.Sprintf("outside ± 1 of pKa′ %.2f: little capacity is left", x.Buffer.PK))
	}
	for _, m := range x.Buffer.Misfits {
		how := "has"
		if m.Grade == table.Slight {
			how = "has, a little,"
		}
		out = append(out, fmt.Sprintf("%s %s what was to be avoided: %s (%s)", x.Buffer.System.Name, how, m.Words, m.Origin()))
	}
	h := table.HabitOf(x.Buffer.System.Name)
	if h.Remark != "" {
		out = append(out, fmt.Sprintf("%s: %s (%s)", x.Buffer.System.Name, h.Remark, h.Source))
	}
	for _, w := range d.With {
		out = append(out, buffer.InAir([]table.Reagent{w.Reagent}, d.PH, d.Use)...)
	}
	if x.Way == buffer.ByTitrant && !x.Base && slices.ContainsFunc(r.acid.Parts, func(p table.Part) bool { return p.Ion.Name == "Cl-" }) && r.Measures[0].Reagent.Cations() != "" && chloride(d.With) < x.Amount {
		out = append(out, fmt.Sprintf("%s leaves %s mmol of chloride besides the %s of the salt; mixed salts or another acid leave less", buffer.Short(r.acid), chem.Digits(x.Amount.Millimoles(), 3), r.Measures[0].Reagent.Cations()))
	}
	if b := x.back(); b != nil && evaporates(x.Buffer.System.Name) && volatile(x.Titrants[0].Reagent) && !volatile(b.Reagent) && !slices.ContainsFunc(r.Measures, func(m Measure) bool { return !volatile(m.Reagent) }) {
		out = append(out, fmt.Sprintf("back-titration with %s leaves a salt that does not evaporate with the rest: where it is to be evaporated, another volatile acid or base in its place", b.Name()))
	}
	if w := x.halfSpent(r); w != "" {
		out = append(out, w)
	}
	if n, by := x.brought(r); n > 0 {
		bring := "brings"
		if len(by) > 1 {
			bring = "bring"
		}
		out = append(out, fmt.Sprintf("%s %s more of the buffer: %s mM of %s in all", strings.Join(by, " and "), bring, chem.Digits(1e3*(float64(d.Molar)+n.Moles()/d.InUse().Litres()), 3), x.Buffer.System.Name))
	}
	if x.Setup.Start < leastBeaker {
		out = append(out, fmt.Sprintf("so little hardly covers the bulb of an ordinary electrode, and a drop is large beside it: make %s and take what is wanted (common practice, no source)", ml(2*leastBeaker)))
	}
	if d.PH > 8 && x.Buffer.System.Name != "carbonate" {
		out = append(out, "above pH 8 an open beaker takes up carbon dioxide and drifts down: use boiled or fresh water, and cover it")
	}
	if x.byItself() {
		titrant := r.acid
		if x.Base {
			titrant = r.base
		}
		out = append(out, fmt.Sprintf("without any %s it comes to pH %.1f ± %s in use by itself: what holds an acid and a base in their proportions, as buffers for electrophoresis do, is as a rule used as it comes (common practice, no source); read it first, and adjust it only where the recipe says so", buffer.Short(titrant), x.StartUse, chem.Digits(math.Max(x.InUse.Spread, 0.01), 1)))
	}
	out = append(out, d.Read...)
	for _, a := range d.Apart {
		out = append(out, "left out of account, and of the sheet: "+a)
	}
	for _, f := range x.InUse.Flags {
		if f.Doubt != solved.NoActivities {
			out = append(out, f.String())
		}
	}
	if now, later, err := table.ComesOut(x.InUse); err == nil {
		for _, s := range now { // which something may hold: else there is no plan
			out = append(out, table.Words(s))
		}
		for _, s := range later {
			out = append(out, "over days, or when heated: "+table.Words(s))
		}
	}
	if x.Setup.Advisable() != nil {
		out = append(out, fmt.Sprintf("the beaker at the aim is above an ionic strength of %g mol/kg: the coach gives no advice from a plan there; titrate by hand, in small portions, or let it learn the curve from the readings, as the bench sheet says", chem.StrongLimit))
	}
	if h.Standing == table.Odd && !strings.HasPrefix(h.Remark, h.Words) {
		out = append(out, fmt.Sprintf("%s: %s (%s)", x.Buffer.System.Name, h.Words, h.Source))
	}
	return out
}

// weakTitrant is the charge, per mole of an acid or base at the target, below which it is said
// that it is a weak one there: more of it stays as it was than does anything. Our own choice.
const weakTitrant = 0.5

// halfSpent says of a weak acid or base what titrating with it near its pK means; "" where it is
// spent for the most part.
func (x *Draft) halfSpent(r Recipe) string {
	titrant, kind := r.acid, "acid"
	if x.Base {
		titrant, kind = r.base, "base"
	}
	q, err := x.Demand.Brings(titrant)
	if q = math.Abs(q); err != nil || x.Way != buffer.ByTitrant || q >= weakTitrant {
		return ""
	}
	return fmt.Sprintf("%s is a weak %s at pH %s: near the aim only %s %% of it acts, so that %s times as much goes in as of a strong one, which is better where the concentration of the buffer matters",
		titrant.Name, kind, chem.Digits(x.Demand.PH, 3), chem.Digits(100*q, 2), chem.Digits(1/q, 2))
}

// evaporates reports whether a buffer does.
func evaporates(system string) bool {
	t, ok := table.TraitOf(system, table.Volatile)
	return ok && t.Grade == table.Yes
}

// volatile reports whether all of a titrant does: acetic acid, ammonia.
func volatile(r table.Reagent) bool {
	return !slices.ContainsFunc(r.Parts, func(p table.Part) bool { return p.System == nil || !evaporates(p.System.Name) })
}

// brought is how much of the buffer comes with what else is in it and with what it is
// titrated with, and what those are called.
func (x *Draft) brought(r Recipe) (n chem.Amount, by []string) {
	brings := func(reagent table.Reagent, amount chem.Amount, name string) {
		for _, p := range reagent.Parts {
			if p.System == x.Buffer.System {
				n += chem.Amount(p.Count) * amount
				by = append(by, name)
			}
		}
	}
	for _, w := range x.Demand.With {
		brings(w.Reagent, w.Amount, w.Reagent.Name)
	}
	if x.Way == buffer.ByTitrant {
		titrant := r.acid
		if x.Base {
			titrant = r.base
		}
		brings(titrant, x.Amount, buffer.Short(titrant))
	}
	return n, by
}

// AsItComes is how far from its target, in pH, a mixture of two buffers may be and be
// asked about; our own choice: Tris acetate EDTA, of which labels say 8.3, comes to 8.1.
const AsItComes = 0.25

// byItself reports whether a second buffer is to be in it that brings it near the target,
// as far as is known, without any titrant, its own or in the salt that is weighed.
func (x *Draft) byItself() bool {
	second := slices.ContainsFunc(x.Demand.With, func(w buffer.Ingredient) bool {
		s, _, ok := w.Reagent.Supplies()
		return ok && s != x.Buffer.System && table.KindOf(s.Name) == table.Buffer
	})
	salt := slices.ContainsFunc(x.Measures[0].Reagent.Parts, func(p table.Part) bool { return p.System == nil })
	return second && !salt && x.Way == buffer.ByTitrant && math.Abs(x.StartUse-x.Demand.PH) <= math.Max(AsItComes, 2*x.InUse.Spread)
}

// isOf reports whether a reagent supplies a system.
func isOf(name string, sys *chem.System) bool {
	list, err := table.Find(name)
	return err != nil || slices.ContainsFunc(list, func(r table.Reagent) bool {
		return slices.ContainsFunc(r.Parts, func(p table.Part) bool { return p.System == sys })
	})
}

// chloride is how much of it is wanted in a solution anyhow.
func chloride(with []buffer.Ingredient) (n chem.Amount) {
	for _, w := range with {
		for _, p := range w.Reagent.Parts {
			if p.Ion.Name == "Cl-" {
				n += chem.Amount(p.Count) * w.Amount
			}
		}
	}
	return n
}
