package recipe

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/table"
)

// judge sums the points of a candidate and gives the reasons.
func (c *Candidate) judge(d *Demand) {
	c.add(math.Abs(c.Distance), fmt.Sprintf("pKa′ %.2f is %.2f %s the target", c.PK, math.Abs(c.Distance), side(c.Distance)), "")
	lack := math.Max(0, 1-c.Share)
	c.add(lack, fmt.Sprintf("capacity %s mM per pH; its own part is %.0f %% of 0.576 × %s mM, what one step has at its pKa",
		digits(1e3*c.Capacity, 2), 100*c.Share, digits(1e3*float64(d.Molar), 3)), "")
	weight, extra := pointsPerTemp, ""
	if d.Steady {
		weight, extra = pointsSteady, ", to be avoided"
	}
	c.add(weight*math.Abs(c.DPHDT), fmt.Sprintf("pH moves %+.3f per °C%s", c.DPHDT, extra), "")
	c.add(c.Spread, fmt.Sprintf("predicted to ± %.2f pH", c.Spread), "")
	for _, p := range d.Avoid {
		c.avoid(p)
	}
	for _, f := range c.Flags {
		if f.Doubt == chem.Unverified {
			c.add(pointsDoubt, f.String(), "")
		}
		if f.Doubt == chem.HighStrength {
			c.add(0, f.String(), "")
		}
	}
	if why, ok := odd[c.System.Name]; ok {
		c.add(pointsOdd, "seldom a buffer: "+why, "common practice, no source")
	}
	if rare[c.System.Name] && len(d.Have) == 0 {
		c.add(pointsRare, "seldom at hand", "common practice, no source")
	}
	if !d.easy(c.From) {
		c.add(pointsFluid, c.From.Name+" comes as a solution of varying strength: its strength has to be known", "")
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

// Conflicts reports whether every candidate has something that was to be
// avoided altogether or is seldom a buffer at all, and names the best that has
// such a thing.
func Conflicts(list []Candidate) (words string, all bool) {
	for _, c := range list {
		if !c.hasFull() && odd[c.System.Name] == "" {
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
	for _, m := range c.Misfits {
		if m.Grade == table.Yes {
			return true
		}
	}
	return false
}
