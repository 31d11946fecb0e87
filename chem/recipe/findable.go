package recipe

import (
	"errors"
	"fmt"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/table"
)

// findable checks, before anything is weighed, that what is looked for can be
// found: a standard that is one, an equivalence point in reach, room for it, and
// spreads that let the answer be known as well as is wanted.
func (s *Setup) findable(bad *Problems) {
	if s.What == find.Blank {
		return // there is nothing that could be too weak
	}
	if s.wanted() < 0 {
		bad.Add("find.of", fmt.Sprintf("%q is not in the beaker", s.Plan.Find.Of), "name one of the reagents under [[weighed]]")
		return
	}
	if s.What == find.Strength {
		s.standard(bad)
	}
	if len(*bad) > 0 {
		return
	}
	b, err := s.Bench(s.BenchTemp)
	if err != nil {
		bad.Add("", err.Error(), "")
		return
	}
	g := b.Guide.(*find.Bench) //nolint:forcetypeassert // Bench has just made it
	if s.boils(g.Forecast().Start, bad); len(*bad) > 0 {
		return
	}
	best, err := g.Best()
	room := s.Final - s.Start
	switch {
	case errors.Is(err, find.ErrNoPoint) && len(best.Stations) > 0:
		bad.Add("beaker.final_ml", fmt.Sprintf("the equivalence point is expected at %.4g mL of %s, and %.4g mL fit into the vessel", best.Stations[0].Volume.Millilitres(), s.Stocks[best.Stations[0].Stock].Name, room.Millilitres()),
			"take a larger vessel (final_ml), less of the sample, or a stronger titrant")
	case errors.Is(err, find.ErrNoPoint):
		bad.Add("weighed", s.noPoint(), "more sample in less water, a stronger titrant, or a titrant of the other kind: an acid is titrated with base, a base with acid; what is too weak for water (pK above 10, or below 4 for a base) has no break in its curve")
	case err != nil:
		bad.Add("", err.Error(), "")
	case s.What != find.Strength && best.Relative() > hopeless && len(best.Causes) > 0:
		bad.Add("weighed", fmt.Sprintf("so little %s cannot be determined with %s: it would be known to %s at best; what limits it: %s", s.Weighed[s.wanted()].Reagent.Name, s.Stocks[0].Name, s.spread(best.Relative()), best.Causes[0].Cause),
			"more of the sample, in less water, or a weaker titrant, so that more is used")
	case !best.Passed:
		bad.Add("beaker.final_ml", "nothing beyond the equivalence point fits into the vessel", "make final_ml 10 % larger")
	}
}

func (s *Setup) noPoint() string {
	return fmt.Sprintf("no equivalence point of %s with %s is within reach: the curve has no break", s.Weighed[s.wanted()].Reagent.Name, s.Stocks[0].Name)
}

// standard checks what a strength is to rest on.
func (s *Setup) standard(bad *Problems) {
	k := s.wanted()
	p, w := s.Weighed[k], s.Plan.Weighed[k]
	field := fmt.Sprintf("weighed[%d]", k+1)
	stated := w.PurityPct != nil && s.Plan.Find.PuritySD != nil
	_, known := primary[p.Reagent.Name]
	switch form := hydrateOf[p.Reagent.Name]; {
	case !known && !stated:
		bad.Add(field+".reagent", fmt.Sprintf("%s is not a primary standard: its purity is not known", p.Reagent.FullName()),
			"potassium hydrogen phthalate for a base, Tris or sodium carbonate for an acid; or give purity_pct, and purity_sd_pct under [find], from a certificate")
	case w.Grams == nil && s.Plan.Find.PuritySD == nil:
		bad.Add(field+".grams", "how much of the standard was weighed?", "give grams as the balance shows them, or mmol with purity_sd_pct under [find] for a standard solution")
	case w.Grams != nil && form != "" && p.Reagent.Form != form, w.Grams != nil && form == "" && p.Reagent.CrystalWater() > 0 && !stated:
		bad.Add(field+".reagent", fmt.Sprintf("%s is not a standard in that form: it loses or takes up water", p.Reagent.FullName()), "weigh "+p.Reagent.Name+" "+dried(p.Reagent))
	}
}

func dried(r table.Reagent) string { return primary[r.Name] }

// Prospect says of a plan that looks for an amount how well it can be known, and
// what limits it; empty where that is well enough.
func (s *Setup) Prospect() (words string, best find.Found, err error) {
	b, err := s.Bench(s.BenchTemp)
	if err != nil {
		return "", best, err
	}
	g, ok := b.Guide.(*find.Bench)
	if !ok {
		return "", best, nil
	}
	if best, err = g.Best(); err != nil {
		return "", best, fmt.Errorf("recipe: %w", err)
	}
	var notes []string
	if !best.AsGood() && len(best.Causes) > 0 {
		notes = append(notes, fmt.Sprintf("on this bench it cannot be known better than to %s, and %s is required; what limits it: %s%s", s.spread(best.Relative()), s.spread(g.Goal), best.Causes[0].Cause, cureOf(best.Causes[0].Cause)))
	}
	if k := best.Main; k >= 0 && s.What != find.Blank && g.Stocks[0].By == find.Burette && best.Stations[k].Volume < least {
		notes = append(notes, fmt.Sprintf("only %.2g mL of titrant are used: more of the sample, or a weaker titrant, makes the burette matter less", best.Stations[k].Volume.Millilitres()))
	}
	if s.What == find.Strength && s.unstated() {
		notes = append(notes, fmt.Sprintf("the plan does not say how pure the standard is: it is taken as 100 %%, ± %g %%; purity_pct, and purity_sd_pct under [find], from its certificate, say otherwise", findPurityPct))
	}
	return strings.Join(notes, "; "), best, nil
}

// spread is a spread of what is looked for in words.
func (s *Setup) spread(x float64) string {
	if s.What == find.Blank {
		return fmt.Sprintf("%.2g mL", 1e3*x)
	}
	return fmt.Sprintf("%.2g %%", 100*x)
}

func cureOf(c find.Cause) string {
	if cure := cures[c]; cure != "" {
		return " (" + cure + ")"
	}
	return ""
}

// unstated reports whether a plan says nothing of how pure its standard is.
func (s *Setup) unstated() bool {
	return s.Plan.Weighed[s.wanted()].PurityPct == nil && s.Plan.Find.PuritySD == nil
}

// hopeless is the relative spread of an answer that is none (choice).
const hopeless = 0.2

// least is the volume that should be used of a 25 mL burette: 30 % (USP <31>, seen).
const least = 7.5 * chem.Millilitre

// cures say what would help against what limits an answer.
var cures = map[find.Cause]string{
	find.OfBalance:   "weigh more of it",
	find.OfPurity:    "a standard with a certificate",
	find.OfStrength:  "find the strength of the titrant first, and give molar_sd_pct",
	find.OfSize:      `weigh drops and give drop_sd_pct, or use a burette: by = "burette"`,
	find.OfBurette:   "weigh what the burette gives, and give ml_sd_pct",
	find.OfScatter:   "more of the sample: with more drops their scatter matters less",
	find.OfReading:   "more of the sample, or a finer burette",
	find.OfMeter:     "calibrate the meter on both sides of the pK",
	find.OfCarbonate: "a fresh base, free of carbonate",
	find.OfSample:    "a better pipette",
	find.OfBlank:     "a blank, and boiled water",
}

// Cure is what would help against a cause of spread; empty when nothing is known.
func Cure(c find.Cause) string { return cures[c] }
