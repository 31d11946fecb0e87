package typed

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
)

// NoteHelp is how a note is written.
const NoteHelp = "Tris 3.029 g lot A17, NaOH 1 M lot B2, or meter, electrode, thermometer, dropper or operator and a name"

var (
	gramsForm = regexp.MustCompile(`(?i)^(.*?)\s+(\d+(?:[.,]\d+)?)\s*(g|mg)\b\s*(.*)$`)
	lotForm   = regexp.MustCompile(`(?i)^(.*?)\s*\b(?:lot|batch)\s+(\S.*)$`)
)

// Note reads a line about the plate of a plan as NoteHelp says it.
func Note(setup *recipe.Setup, text string) (journal.Note, error) {
	text = strings.Join(strings.Fields(text), " ")
	word, rest, _ := strings.Cut(text, " ")
	var n journal.Note
	for name, to := range map[string]*string{"operator": &n.Operator, "meter": &n.Meter, "electrode": &n.Electrode, "thermometer": &n.Thermometer, "dropper": &n.Dropper} {
		if strings.EqualFold(word, name) {
			if rest == "" {
				return n, fmt.Errorf("which %s? %s and its name", name, name)
			}
			*to = rest
			return n, nil
		}
	}
	name, lot := text, ""
	if m := lotForm.FindStringSubmatch(text); m != nil {
		name, lot = m[1], strings.TrimSpace(m[2])
	}
	grams := 0.0
	if m := gramsForm.FindStringSubmatch(name); m != nil && m[4] == "" {
		g, err := strconv.ParseFloat(strings.Replace(m[2], ",", ".", 1), 64)
		if err != nil || !(g > 0) {
			return n, fmt.Errorf("%s is not a mass", m[2])
		}
		if name, grams = m[1], g; strings.EqualFold(m[3], "mg") {
			grams /= 1e3
		}
	}
	if lot == "" && grams == 0 {
		return n, errors.New("not understood: " + NoteHelp)
	}
	if r, ok := weighedAs(setup, name); ok {
		n.Weighed = []journal.Weighing{{Reagent: r, Grams: grams, Lot: lot}}
		return n, nil
	}
	for _, st := range setup.Stocks {
		if strings.EqualFold(st.Name, name) && grams == 0 {
			n.Bottles = []journal.Lot{{Titrant: st.Name, Lot: lot}}
			return n, nil
		}
	}
	return n, fmt.Errorf("%q is neither weighed nor a bottle of this plan: %s", name, strings.Join(things(setup), ", "))
}

// weighedAs is the name in the plan of something weighed.
func weighedAs(setup *recipe.Setup, name string) (string, bool) {
	for _, p := range setup.Weighed {
		if strings.EqualFold(p.Reagent.Name, name) || strings.EqualFold(p.Reagent.FullName(), name) || strings.EqualFold(p.Reagent.Formula, name) {
			return p.Reagent.Name, true
		}
	}
	return "", false
}

// things are what masses and lots can be noted of.
func things(setup *recipe.Setup) (out []string) {
	for _, p := range setup.Weighed {
		out = append(out, p.Reagent.Name)
	}
	for _, st := range setup.Stocks {
		out = append(out, st.Name)
	}
	return out
}

// Against says by how much a mass that is noted contradicts the plan, which goes on counting;
// empty where it is what the plan has, as far as care goes.
func Against(setup *recipe.Setup, n journal.Note) string {
	for _, w := range n.Weighed {
		if g, ok := planned(setup, w.Reagent); ok && w.Grams > 0 && math.Abs(math.Log(w.Grams/g)) > careless {
			return fmt.Sprintf("the plan has %s g, which still counts: weigh it again, or begin with a plan of what is in it", chem.Mass(g).Weighed())
		}
	}
	return ""
}

// careless is by how much, ln, a mass may differ from the plan's before that is said: three
// times what care allows, a choice of this project.
const careless = 0.05

// planned is the mass, g, that a plan has of a reagent; false where it has two of them.
func planned(setup *recipe.Setup, name string) (grams float64, ok bool) {
	for i, p := range setup.Weighed {
		if p.Reagent.Name != name {
			continue
		}
		if ok {
			return 0, false
		}
		ok, grams = true, p.Reagent.MolarMass.Of(p.Amount).Grams()
		if i < len(setup.Plan.Weighed) && len(setup.Plan.Weighed) == len(setup.Weighed) && setup.Plan.Weighed[i].Grams != nil { // it may not be pure
			grams = *setup.Plan.Weighed[i].Grams
		}
	}
	return grams, ok
}
