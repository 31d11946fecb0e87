package form

import (
	"fmt"

	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/sheet"
	"example.org/halfdrop/tui/screen/planform"
	"example.org/halfdrop/tui/widget"
)

// Card is the recipe and its curve for the form.
func (a *Planner) Card(v map[string]string) *planform.Card {
	a.mu.Lock()
	defer a.mu.Unlock()
	x, _, _ := a.draft(v)
	if x == nil {
		return nil
	}
	c := &planform.Card{Title: x.Plan.Name, Facts: sheet.Facts(x), Rows: sheet.Card(x)}
	for _, n := range x.Notes {
		c.Notes = append(c.Notes, phrase.Plain(fmt.Errorf("%s", n)).Error())
	}
	if x.Way == buffer.ByTitrant {
		c.Plot = draftCurve(x)
	}
	return c
}

// drafted is the latest draft: the form asks for several things about the same values.
type drafted struct {
	of     string
	draft  *prepare.Draft
	list   []buffer.Candidate
	faults map[string]string
}

// drawnPoints is how many points a curve beside the form has.
const drawnPoints = 121

// draftCurve is the predicted curve of a plan as far as it is of use; nil without one.
func draftCurve(x *prepare.Draft) *widget.Plot {
	f := sheet.Sketch(x, drawnPoints)
	if f == nil {
		return nil
	}
	aim := f.Target
	p := &widget.Plot{Aim: aim.PH, Tolerance: x.Setup.Tolerance, AimText: fmt.Sprintf("aim %.2f", aim.PH), XLabel: "mL " + f.Titrant, YLabel: "pH",
		Points: []widget.Point{{X: aim.Volume.Millilitres(), Y: aim.PH}}}
	for _, pt := range f.Points {
		p.Curve = append(p.Curve, widget.CurvePoint{X: pt.Volume.Millilitres(), Y: pt.PH, Low: pt.PH, High: pt.PH})
	}
	return p
}
