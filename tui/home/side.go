package home

import (
	"encoding/json"
	"fmt"
	"strings"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/tui/screen/menu"
	"example.org/halfdrop/tui/widget"
)

// atHome is what stands beside the tasks: the last run, the meter and the bench that
// are remembered.
func (k *Known) atHome(kept []keep.Kept) *menu.Side {
	side := &menu.Side{Title: "Last run", Facts: [][2]string{{"run", "none yet"}}}
	if len(kept) > 0 {
		side = aboutRun(kept[0])
		side.Title = "Last run"
	}
	meter := "none remembered; halfdrop ports --learn NAME keeps one"
	if names := k.Meters(); len(names) > 0 {
		meter = strings.Join(names, ", ")
	}
	side.Facts = append(side.Facts, [2]string{"meters", meter}, [2]string{"bench", remembered()})
	return side
}

// remembered is the bench that is known, in a few words.
func remembered() string {
	path, err := shelf.BenchFile()
	if err != nil {
		return phrase.Plain(err).Error()
	}
	b, err := shelf.ReadBench(path)
	if err != nil {
		return phrase.Plain(err).Error()
	}
	bottles, droppers, electrodes := map[string]bool{}, map[string]bool{}, map[string]bool{}
	for _, r := range b.Runs {
		if r.Electrode != nil {
			electrodes[r.Electrode.Name] = true
		}
		for _, d := range r.Drops {
			bottles[d.Bottle] = true
			droppers[d.Dropper] = true
		}
	}
	for _, s := range b.Stated {
		bottles[s.Bottle] = true
	}
	for _, d := range b.Weighs {
		droppers[d.Dropper] = true
	}
	delete(bottles, "")
	delete(droppers, "")
	delete(electrodes, "")
	var out []string
	for _, kind := range []struct {
		n    int
		name string
	}{{len(bottles), "bottle"}, {len(droppers), "dropper"}, {len(electrodes), "electrode"}} {
		if kind.n > 0 {
			out = append(out, phrase.Counted(kind.n, kind.name))
		}
	}
	if out == nil {
		return "nothing remembered yet"
	}
	return strings.Join(out, ", ")
}

// mostDrawn is how many points of a run are drawn beside a list.
const mostDrawn = 400

// aboutRun is a run in figures, and its pH over time.
func aboutRun(k keep.Kept) *menu.Side {
	side := &menu.Side{Title: named(k), Facts: [][2]string{{"begun", k.Begun.Local().Format("2 Jan 2006, 15:04")},
		{"lasted", phrase.Lasting(k.Seconds)}, {"ended", strings.TrimPrefix(outcomeOf(k, "not yet"), "ended ")}, {"readings", k.Source}}}
	if k.Operator != "" {
		side.Facts = append(side.Facts, [2]string{"operator", k.Operator})
	}
	p := &widget.Plot{XLabel: "min", YLabel: "pH", AimText: "aim"}
	additions := 0
	_, err := journal.ScanFile(k.Path, func(e journal.Event) error {
		switch {
		case e.Start != nil:
			var plan recipe.Plan
			if json.Unmarshal(e.Start.Plan, &plan) != nil {
				return nil
			}
			if plan.Find != nil { // it has no aim
				p.AimText = "equivalence"
			}
			if plan.Target.PH != nil {
				p.Aim, p.Tolerance = *plan.Target.PH, recipe.DefaultTolerance
				if plan.Target.Tolerance != nil {
					p.Tolerance = *plan.Target.Tolerance
				}
			}
		case e.Advice != nil && e.Advice.Aim > 0:
			p.Aim = e.Advice.Aim
		case e.Added != nil:
			additions++
		case e.Undo != nil:
			additions--
		case e.Reading != nil && e.Reading.PH != nil && e.Reading.Refused == "":
			ph := *e.Reading.PH
			p.Curve = append(p.Curve, widget.CurvePoint{X: e.T / 60, Y: ph, Low: ph, High: ph})
		}
		return nil
	})
	if err != nil {
		side.Facts = append(side.Facts, [2]string{"journal", phrase.Plain(err).Error()})
	}
	side.Facts = append(side.Facts, [2]string{"additions", fmt.Sprint(max(additions, 0))})
	if n := len(p.Curve); n > 1 && p.Aim > 0 {
		thin := p.Curve[:0:0]
		for i := 0; i < n; i += max(1, n/mostDrawn) {
			thin = append(thin, p.Curve[i])
		}
		last := p.Curve[n-1]
		p.Curve = append(thin, last)
		p.Points = []widget.Point{{X: last.X, Y: last.Y}}
		side.Plot = p
	}
	return side
}

// outcomeOf is how a run ended, in words, or that it has not yet.
func outcomeOf(k keep.Kept, not string) string {
	if !k.Ended {
		return not
	}
	return strings.ReplaceAll(k.Outcome, "_", " ")
}
