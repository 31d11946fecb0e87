package prepare

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/table"
)

// The rules by which titrants are chosen: choices of this project.
const (
	mostDrops   = 40   // more than that, if they do not fit under the mark either, ask for a second bottle
	countable   = 100  // more than that are measured in mL: some two minutes at one a second
	goodPart    = 0.5  // of the room under the mark that the way may take
	mostPart    = 0.9  // and must not go beyond
	weakest     = 0.01 // mol/L; a weaker one takes up carbon dioxide and drifts
	plate       = 5.0  // mol/L; the strongest that is made up for the plate
	usualFine   = 1.0  // mol/L; the strongest for the last steps
	halfOfRange = 0.5  // of the tolerance that a single drop near the aim may move
	idle        = 0.1  // of the tolerance: a drop that moves less is next to nothing
	lastPart    = 0.1  // pH before the aim where the last steps may begin
)

// usualStrengths are the strengths that are made up, in mol/L.
var usualStrengths = []float64{0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10}

// Chosen is a titrant with the reason for its strength.
type Chosen struct {
	Reagent table.Reagent
	Molar   float64
	Role    Role
	PerDrop float64 // pH that one drop moves near the aim
	Drops   float64 // to the aim with this one alone; 0 for the way back
	Volume  chem.Volume
	Tenth   chem.Volume // that moves the pH by lastPart near the aim
	Why     string
	AtHand  bool // a bottle of this strength was said to be there
	Pipette bool // it is measured in mL; else it is given in drops
	Same    bool // it comes from the bottle of the last steps
}

// Role is what a titrant is for.
type Role string

// The roles.
const (
	Coarse Role = "bulk addition"
	Fine   Role = "last steps"
	Back   Role = "back-titration"
)

// Name is the label of the bottle, and what it is given with where that is one of two things.
func (c Chosen) Name() string {
	name := buffer.Bottle{Reagent: c.Reagent, Molar: chem.Molarity(c.Molar)}.Name()
	if c.Same {
		name += " (pipette)"
	}
	return name
}

// By is what it is given with, as a plan has it.
func (c Chosen) By() string {
	if c.Pipette {
		return recipe.Pipette
	}
	return recipe.Dropper
}

// near is the beaker near the aim.
type near struct {
	capacity float64 // mol per pH, of the whole beaker
	ph       float64
	medium   chem.Medium
	model    *chem.Model
	temp     chem.Celsius
	drop     chem.Volume
	tol      float64
	final    chem.Volume
	room     chem.Volume
}

// perMole is the charge that one mol of a reagent brings near the aim, base
// counted up.
func (n *near) perMole(r table.Reagent) (float64, error) {
	c, err := n.model.Compose(chem.Mix(chem.Solution{Volume: 1, Temp: n.temp}, r.Dissolved(1).At(n.temp)))
	if err != nil {
		return 0, err
	}
	q, _ := n.model.ChargeIn(n.ph, &n.medium, &c)
	return math.Abs(q), nil
}

// move is the pH that a drop moves of what brings so much charge a litre, mol.
func (n *near) move(titre float64) float64 { return titre * n.drop.Litres() / n.capacity }

// tenth is the volume of it that moves lastPart.
func (n *near) tenth(titre float64) chem.Volume { return chem.Volume(lastPart * n.capacity / titre) }

// tooCoarse says that even the weakest titrant moves too much in one drop.
type tooCoarse struct{ move, tol, volume, dropUL float64 }

func (e *tooCoarse) Error() string {
	return fmt.Sprintf("one drop (%s µL) of the weakest titrant, %g M, moves the pH by %.3f, more than half the tolerance of %g", chem.Digits(e.dropUL, 3), weakest, e.move, e.tol)
}

func (e *tooCoarse) hint() string {
	k := e.move / (halfOfRange * e.tol)
	return fmt.Sprintf("possible: a batch of %s mL or more, or drops of %s µL or less, or a tolerance of %s",
		ceilDigits(e.volume*k), chem.Digits(e.dropUL/k*0.995, 2), ceilDigits(e.tol*k))
}

func ceilDigits(x float64) string {
	k := math.Pow(10, 1-math.Floor(math.Log10(x)))
	return chem.Digits(math.Ceil(x*k)/k, 2)
}

// fine is the weakest titrant of which a drop near the aim still moves
// something, and never one of which a drop moves half the tolerance. A bottle
// at hand comes first; another is as strong, up to most, as it takes for a tenth of a
// pH to fit into the room given.
func (n *near) fine(r table.Reagent, hand []float64, left chem.Volume, most float64) (Chosen, error) {
	q, err := n.perMole(r)
	if err != nil {
		return Chosen{}, err
	}
	limit := halfOfRange * n.tol
	if n.move(q*weakest) >= limit && !n.anyBelow(q, hand, limit) {
		return Chosen{}, &tooCoarse{n.move(q * weakest), n.tol, n.final.Millilitres(), n.drop.Microlitres()}
	}
	c := Chosen{Reagent: r, Role: Fine}
	for _, h := range hand {
		if n.move(q*h) < limit && h > c.Molar && h <= plate {
			c.Molar, c.AtHand = h, true
		}
	}
	for _, s := range append(slices.Clone(usualStrengths), most) {
		if c.AtHand || s > most || n.move(q*s) >= limit {
			break
		}
		if enough := n.move(q*c.Molar) >= idle*n.tol || c.Molar >= usualFine; c.Molar > 0 && enough && n.tenth(q*c.Molar) <= left {
			break
		}
		c.Molar = max(s, c.Molar)
	}
	c.PerDrop, c.Tenth = n.move(q*c.Molar), n.tenth(q*c.Molar)
	c.Why = fmt.Sprintf("one drop moves the pH by %s near the aim, less than half the tolerance of %g", chem.Digits(c.PerDrop, 2), n.tol)
	return c, nil
}

// anyBelow reports whether one of the bottles at hand is fine enough.
func (n *near) anyBelow(q float64, hand []float64, limit float64) bool {
	return slices.ContainsFunc(hand, func(h float64) bool { return n.move(q*h) < limit })
}

// need fills in the way to the aim with a titrant, for an amount of charge.
func (n *near) need(c *Chosen, charge float64) error {
	q, err := n.perMole(c.Reagent)
	if err != nil {
		return err
	}
	c.Volume = chem.Volume(charge / (q * c.Molar))
	c.Drops = float64(c.Volume / n.drop)
	return nil
}

// coarse is the weakest titrant that makes the way in a good part of the room
// that is left under the mark: a bottle at hand that fits, else a usual
// strength, else what is poured from the bottle as sold.
func (n *near) coarse(r table.Reagent, charge float64, hand []float64) (Chosen, error) {
	q, err := n.perMole(r)
	if err != nil {
		return Chosen{}, err
	}
	c := Chosen{Reagent: r, Role: Coarse}
	need := charge / (q * goodPart * n.room.Litres())
	least := charge / (q * mostPart * n.room.Litres())
	c.Molar, c.AtHand = enough(need, least, hand)
	switch {
	case c.Molar > 0:
		c.Why = fmt.Sprintf("%s as needed to leave room under the mark: measured in mL", map[bool]string{true: "in stock, and as strong", false: "as strong"}[c.AtHand])
	default:
		c.Molar = concentrate(r)
		c.AtHand = !r.Solid()
		c.Why = fmt.Sprintf("anything weaker than %s M would not fit under the mark: measured in mL", chem.Digits(least, 2))
	}
	if len(hand) > 0 && !c.AtHand {
		strongest := slices.Max(hand)
		c.Why += fmt.Sprintf("; the %s M in stock would take %s of the %s left", chem.Digits(strongest, 3), ml(chem.Volume(charge/(q*strongest))), ml(n.room))
	}
	c.PerDrop, c.Tenth = n.move(q*c.Molar), n.tenth(q*c.Molar)
	return c, n.need(&c, charge)
}

// concentrate is the strongest that is poured at the bench: the concentrate as
// sold of a liquid, 10 M of a solid hydroxide.
func concentrate(r table.Reagent) float64 {
	if len(r.Stocks) > 0 && (!r.Solid() || r.Form == "liquid") {
		return float64(r.Stocks[0].Molar)
	}
	return 10
}

// enough is the weakest bottle at hand that fits well, or fits at all; else the
// weakest usual strength that fits well, up to what is used at the plate; else
// 0.
func enough(need, least float64, hand []float64) (molar float64, atHand bool) {
	for _, limit := range []float64{need, least} {
		for _, h := range hand {
			if h >= limit && (molar == 0 || h < molar) {
				molar = h
			}
		}
		if molar > 0 {
			return molar, true
		}
	}
	for _, s := range usualStrengths {
		if s >= need && s <= plate {
			return s, false
		}
	}
	if least <= plate {
		return plate, false
	}
	return 0, false
}

// choose are the titrants for a way of so much charge: base counted up.
// Where two salts leave no way to go, both directions get a fine one.
func (n *near) choose(d *buffer.Demand, acid, base table.Reagent, charge float64) ([]Chosen, error) {
	on, back := base, acid
	if charge < 0 {
		on, back = acid, base
	}
	most := usualFine
	if d.Way == buffer.BySalts { // there is no other to correct with
		most = plate
	}
	fine, err := n.fine(on, atHand(d, on), chem.Volume(goodPart)*n.room, most)
	if err != nil {
		return nil, err
	}
	if err := n.need(&fine, math.Abs(charge)); err != nil {
		return nil, err
	}
	var out []Chosen
	left := n.room - fine.Volume
	switch fits := fine.Volume <= chem.Volume(goodPart)*n.room; {
	case !fits && (fine.Drops > mostDrops || fine.Volume > chem.Volume(mostPart)*n.room):
		c, err := n.coarse(on, math.Abs(charge), atHand(d, on))
		if err != nil {
			return nil, err
		}
		one := fine.Volume
		left = n.room - c.Volume
		if !fine.AtHand { // after the bulk addition, up to the strength of that
			if fine, err = n.fine(on, nil, chem.Volume(goodPart)*left, c.Molar); err != nil {
				return nil, err
			}
			if err := n.need(&fine, math.Abs(charge)); err != nil {
				return nil, err
			}
		}
		if c.Molar > fine.Molar && !(c.Molar <= plate && c.PerDrop < idle*n.tol) {
			c.Why += fmt.Sprintf("; of the one for the last steps it would be %s", ml(fine.Volume))
			out = append(out, c)
			break
		}
		if c.Volume < one {
			fine = c
			fine.Role = Fine
			fine.Why = fmt.Sprintf("%s; one drop moves %s pH near the aim, so it serves for the last steps as well", c.Why, chem.Digits(c.PerDrop, 2))
		}
	}
	out = append(out, fine)
	b, err := n.fine(back, atHand(d, back), chem.Volume(goodPart)*left, plate)
	var much *tooCoarse
	if err != nil && !errors.As(err, &much) {
		return nil, err
	}
	if err == nil {
		b.Role = Back
		b.Why = "after an overshoot: " + b.Why
		out = append(out, b)
	}
	return n.devices(out, d.DropUL != nil), nil
}

// devices says what each is given with. Too many drops to count are measured in mL, all of
// them; whose drops were measured wants those for the last steps.
func (n *near) devices(list []Chosen, dropKnown bool) []Chosen {
	first := list[0]
	many := first.Role == Fine && first.Drops > countable
	if many && dropKnown && !n.portioned(first) {
		first.Role, first.Same = Coarse, true
		first.Why = "too many drops to count: measured in mL, from the bottle of the last steps"
		list, many = slices.Insert(list, 0, first), false
	}
	for i := range list {
		c := &list[i]
		if c.Pipette = c.Role == Coarse || many && i == 0 || n.portioned(*c); !c.Pipette {
			continue
		}
		if many && i == 0 && !strings.Contains(c.Why, "measured in mL") {
			c.Why += "; too many drops to count: measured in mL"
		}
		if !dropKnown {
			c.Why = strings.ReplaceAll(c.Why, "one drop", fmt.Sprintf("a step of %g mL", recipe.DefaultStepML))
		}
	}
	return list
}

// portioned reports whether drops of a titrant are next to nothing near the aim, so that the
// last steps are portions in mL.
func (n *near) portioned(c Chosen) bool { return c.PerDrop*mostDrops < portionPart*n.tol }

// atHand are the strengths of the bottles of a reagent at hand.
func atHand(d *buffer.Demand, r table.Reagent) []float64 {
	var out []float64
	for _, b := range d.Bottles {
		if b.Reagent.Name == r.Name {
			out = append(out, float64(b.Molar))
		}
	}
	return out
}

// bothWays says what the two correcting titrants of a pair of salts are for.
func bothWays(list []Chosen, first bool) {
	for i := range list {
		side := "above"
		if (i == 0) == first {
			side = "below"
		}
		list[i].Role, list[i].Volume, list[i].Drops = Fine, 0, 0
		list[i].Why = fmt.Sprintf("should the meter show a pH %s the aim: %s", side, strings.TrimPrefix(list[i].Why, "after an overshoot: "))
	}
}
