package buffer

import (
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
)

// The weights of the ranking: a choice of this project. A point is as bad as
// being one pH away from pKa′.
const (
	pointsYes     = 3.0  // has a property that was to be avoided
	pointsSlight  = 0.4  // has it a little
	pointsPerTemp = 6.0  // per pH/°C; the Tris of the bench scores 0.17
	pointsSteady  = 80.0 // per pH/°C when the pH is not to move
	pointsSpread  = 1.0  // per pH of doubt
	pointsUse     = 0.5  // nobody takes it at that pH
	pointsSeldom  = 0.6  // the jar is seldom at hand
	pointsRare    = 1.2  // hardly any laboratory has one
	pointsDoubt   = 0.15 // no second publication confirms the pKa
	pointsOdd     = 3.0  // seldom taken as a buffer at all
	pointsOutside = 1.0  // per pH outside the range in which it is taken
	pointsGas     = 4.0  // all of it would be there as what leaves the beaker
	pointsGrabs   = 2.0  // it takes all of a metal ion that is to be in it
	pointsBinds   = 1.5  // it binds a metal ion that is to be in it, no constant says how well
	pointsSalty   = 0.06 // per unit of ionic strength over the concentration
	pointsFluid   = 0.2  // cannot be weighed
	slightGas     = 0.25 // of pointsGas, where little of it leaves
)

// judge sums the points of a candidate and gives the reasons.
func (c *Candidate) judge(d *Demand) {
	c.add(math.Abs(c.Distance), fmt.Sprintf("pKa′ %.2f is %.2f %s the target", c.PK, math.Abs(c.Distance), side(c.Distance)), "")
	lack := math.Max(0, 1-c.Share)
	gives := "the buffer itself gives"
	if len(d.With) > 0 {
		gives = "it gives, with all that is in it,"
	}
	c.add(lack, fmt.Sprintf("capacity %s mM per pH; %s %.0f %% of the one-pKa maximum at %s mM",
		chem.Digits(1e3*c.Capacity, 2), gives, 100*c.Share, chem.Digits(1e3*float64(d.Molar), 3)), "")
	c.temperature(d)
	c.add(pointsSpread*c.Spread, fmt.Sprintf("predicted to ± %.2f pH", c.Spread), "")
	over := math.Max(0, c.PerLitre/float64(d.Molar)-1)
	if len(d.With) == 0 && d.Ionic == 0 {
		c.add(pointsSalty*over, fmt.Sprintf("ionic strength %s mM", chem.Digits(1e3*c.PerLitre, 2)), "")
	}
	for _, p := range d.Avoid {
		c.avoid(p)
	}
	doubted := pointsDoubt
	for _, f := range c.Flags {
		switch f.Doubt {
		case solved.Unverified:
			c.add(doubted, f.String(), "")
			doubted = 0 // once
		case solved.HighStrength, solved.MissingChemistry:
			c.add(0, f.String(), "")
		}
	}
	c.habit(d)
	c.leaves()
	c.grabs()
	if !d.easy(c.From) {
		c.add(pointsFluid, c.From.Name+" is sold as a solution of varying strength: its strength must be known", "")
	}
}

// temperature counts how much the pH moves with it. What is not known of that
// counts as doubt, never as zero.
func (c *Candidate) temperature(d *Demand) {
	weight, extra := pointsPerTemp, ""
	if d.Steady {
		weight, extra = pointsSteady, ", to be avoided"
	}
	slope, sd := math.Abs(c.DPHDT), c.inUse.Doubts.PerDegree
	words := fmt.Sprintf("pH moves %s per °C%s", chem.Signed(c.DPHDT, 3), extra)
	if sd > 0.004 {
		words = fmt.Sprintf("how the pH moves with temperature is not known: %s ± %.3f per °C%s", chem.Signed(c.DPHDT, 3), sd, extra)
	}
	c.add(weight*math.Hypot(slope, sd), words, "")
}

// habit counts what laboratories do.
func (c *Candidate) habit(d *Demand) {
	h := table.HabitOf(c.System.Name)
	const trade = "common practice, no source"
	if h.Standing == table.Odd {
		c.add(pointsOdd, "seldom used as a buffer: "+h.Words, trade)
	}
	if h.Standing == table.Seldom && len(d.Have) == 0 {
		c.add(pointsSeldom, "seldom in stock", trade)
	}
	if h.Standing == table.Rare && len(d.Have) == 0 {
		c.add(pointsRare, "hardly ever in stock", trade)
	}
	if x := h.Outside(d.PH); x > 0 {
		c.add(math.Min(pointsOutside*x, pointsOdd), fmt.Sprintf("%.1f outside the pH in which it is taken", x), trade)
	}
	if own, most, ok := table.UseAt(c.System.Name, d.PH); ok {
		share := float64(own.Recipes) / float64(most.Recipes)
		if own.Most { // of what is at hand it may be half of that; of the rest, nothing is counted
			share /= 2
			if h.Standing != table.Usual {
				share = 0
			}
		}
		upTo := ""
		if own.Most {
			upTo = "no more than "
		}
		c.add(pointsUse*(1-math.Sqrt(share)), fmt.Sprintf("%s%d of %d counted recipes of pH %g to %g", upTo, own.Recipes, most.Of, most.Low, most.High), most.Source)
	}
}

// leaves counts what goes into the air: the form without charge.
func (c *Candidate) leaves() {
	t, ok := table.TraitOf(c.System.Name, table.Volatile)
	if !ok || t.Grade == table.No {
		return
	}
	part := 0.0
	for _, sp := range c.inUse.Species {
		if sp.System == c.System.Name && sp.Charge == 0 && sp.Complex == nil {
			part = sp.Fraction
		}
	}
	weight := pointsGas
	if t.Grade == table.Slight || c.System.Steps[0].PK < 5 { // an amine that is hardly volatile, or an acid of a low vapour pressure
		weight *= slightGas
	}
	if x := weight * part * part; x > 0.01 {
		c.add(x, fmt.Sprintf("%.0f %% of it is there as what leaves an open beaker: %s", 100*part, t.Words), t.Origin())
	}
}

// grabs counts how much it takes of metal ions that are to be in the buffer, and that it
// is known to take some where no constant says how much.
func (c *Candidate) grabs() {
	for _, f := range c.Flags {
		metal := f.With
		if f.With == c.System.Name {
			metal = f.System
		} else if f.System != c.System.Name {
			continue
		}
		if f.Doubt == solved.MissingChemistry && table.KindOf(metal) == table.Metal {
			c.add(pointsBinds, fmt.Sprintf("binds %s, how strongly is not known here", metal), "")
			break
		}
	}
	for _, f := range c.inUse.Free {
		if f.Total <= 0 {
			continue
		}
		held := 0.0 // by this buffer
		for _, sp := range c.inUse.Species {
			if x := sp.Complex; x != nil && x.Metal == f.System && sp.System == c.System.Name {
				held += float64(x.Metals) * sp.Molality / f.Total
			}
		}
		if held > 0.02 {
			c.add(pointsGrabs*held, fmt.Sprintf("takes %.0f %% of the %s", 100*held, f.System), "")
		}
	}
}

func (c *Candidate) avoid(p table.Property) {
	t, ok := table.TraitOf(c.System.Name, p)
	switch {
	case !ok:
		c.add(pointsSlight, fmt.Sprintf("%s: nothing known", p), "")
		return
	case t.Grade == table.No:
		c.add(0, fmt.Sprintf("%s: %s", p, t.Words), t.Origin())
		return
	case t.Grade == table.Yes:
		c.add(pointsYes, fmt.Sprintf("%s: %s", p, t.Words), t.Origin())
	default:
		c.add(pointsSlight, fmt.Sprintf("%s, a little: %s", p, t.Words), t.Origin())
	}
	c.Misfits = append(c.Misfits, Misfit{t})
}

func (c *Candidate) add(points float64, words, source string) {
	c.Points += points
	c.Why = append(c.Why, Reason{points, words, source})
}

// side says on which side of the target the pKa lies.
func side(distance float64) string {
	if distance > 0 {
		return "below"
	}
	return "above"
}

// conflicts reports whether every candidate has something that was to be
// avoided altogether or is seldom a buffer at all, and names the best that has
// such a thing.
func conflicts(list []Candidate) (words string, all bool) {
	for _, c := range list {
		if !c.hasFull() && table.HabitOf(c.System.Name).Standing != table.Odd {
			return "", false
		}
		for _, m := range c.Misfits {
			if m.Grade == table.Yes && words == "" {
				words = fmt.Sprintf("%s, has %s: %s", c.System.Name, m.Property, m.Words)
			}
		}
	}
	return words, words != ""
}

func (c *Candidate) hasFull() bool {
	return slices.ContainsFunc(c.Misfits, func(m Misfit) bool { return m.Grade == table.Yes })
}
