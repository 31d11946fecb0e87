package main

import (
	"fmt"

	"example.org/halfdrop/chem/curve"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/widget"
)

// recipeCard is the recipe in rows of what to do, how much, and of what.
func recipeCard(x *recipe.Draft) [][3]string {
	var out [][3]string
	what := "weigh"
	for _, m := range x.Measures {
		amount, of := measure(m)
		if m.Mass == 0 || m.Bottle != nil {
			what = "measure"
		} else {
			what = "weigh"
		}
		out = append(out, [3]string{what, amount, of})
	}
	out = append(out, [3]string{"water", phrase.Sig(x.Water.Millilitres(), 3) + " mL", "to begin with"})
	if x.Way == recipe.ByTitrant {
		out = append(out, titrateRow(x))
	}
	mark := phrase.Sig(x.Setup.Final.Millilitres(), 4) + " mL"
	return append(out, [3]string{"make up", mark, "the mark"},
		[3]string{"aim", fmt.Sprintf("pH %.2f", x.Aim.Shown), fmt.Sprintf("on the meter, at %s °C, before making up", phrase.Sig(float64(x.Setup.BenchTemp), 3))})
}

// titrateRow is what is to be added with the coach.
func titrateRow(x *recipe.Draft) [3]string {
	way := "down from pH %.1f"
	if x.Base {
		way = "up from pH %.1f"
	}
	way = fmt.Sprintf(way, x.StartUse)
	for _, t := range x.Titrants {
		if t.Role != recipe.Back && t.Volume > 0 {
			return [3]string{"titrate", "≈ " + phrase.Sig(t.Volume.Millilitres(), 2) + " mL", fmt.Sprintf("%s, %s", t.Name(), way)}
		}
	}
	return [3]string{"titrate", "≈ " + phrase.Sig(x.Amount.Millimoles(), 2) + " mmol", titrantName(x) + ", " + way}
}

// measure is what is weighed or measured, and of what.
func measure(m recipe.Measure) (amount, of string) {
	switch {
	case m.Bottle != nil:
		return phrase.Sig(m.Volume.Millilitres(), 3) + " mL", m.Bottle.Name()
	case m.Mass > 0:
		return phrase.Sig(m.Mass.Grams(), 4) + " g", m.Reagent.FullName()
	}
	return phrase.Sig(m.Volume.Millilitres(), 3) + " mL", m.Reagent.Name + " (" + m.AsSold + ")"
}

// cardFacts are the figures of the buffer, each with its unit.
func cardFacts(x *recipe.Draft) string {
	return fmt.Sprintf("%s, pKa′ %.2f; capacity %s mM per pH; dpH/dT %s per °C; ionic strength %s mM", x.Buffer.System.Name,
		x.Buffer.PK, phrase.Sig(1e3*x.InUse.Capacity, 2), phrase.Minus(fmt.Sprintf("%+.3f", x.InUse.DPHDT)), phrase.Sig(1e3*x.InUse.Strength, 2))
}

// Card is the recipe and its curve for the form.
func (a *formPlanner) Card(v map[string]string) *screen.PlanCard {
	a.mu.Lock()
	defer a.mu.Unlock()
	x, _, _, _ := a.draft(v)
	if x == nil {
		return nil
	}
	c := &screen.PlanCard{Title: x.Plan.Name, Facts: cardFacts(x), Rows: recipeCard(x)}
	for _, n := range x.Notes {
		c.Notes = append(c.Notes, phrase.Plain(fmt.Errorf("%s", n)).Error())
	}
	if x.Way == recipe.ByTitrant {
		c.Plot = draftCurve(x)
	}
	return c
}

// drawnPoints is how many points a curve beside the form has.
const drawnPoints = 121

// draftCurve is the predicted curve of a plan as far as it is of use; nil without one.
func draftCurve(x *recipe.Draft) *widget.Plot {
	s := x.Setup
	st, aim, err := curveFlags{}.choose(s, nil)
	if err != nil || aim.volume <= 0 {
		return nil
	}
	c, err := curve.New(s.Beaker(s.BenchTemp), st.PerLitre(s.BenchTemp))
	if err != nil {
		return nil
	}
	points, err := c.Points(min(drawnTo(c, s, aim), 2*aim.volume), drawnPoints)
	if err != nil {
		return nil
	}
	p := &widget.Plot{Aim: aim.ph, Tolerance: s.Tolerance, AimText: fmt.Sprintf("aim %.2f", aim.ph), XLabel: "mL " + st.Name, YLabel: "pH",
		Points: []widget.Point{{X: aim.volume.Millilitres(), Y: aim.ph}}}
	for _, pt := range points {
		p.Curve = append(p.Curve, widget.CurvePoint{X: pt.Volume.Millilitres(), Y: pt.PH, Low: pt.PH, High: pt.PH})
	}
	return p
}

// drafted is the latest draft: the form asks for several things about the same values.
type drafted struct {
	of     string
	draft  *recipe.Draft
	list   []recipe.Candidate
	flags  planFlags
	faults map[string]string
}
