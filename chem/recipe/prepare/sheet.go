package prepare

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/table"
)

// Step is one line of the bench sheet.
type Step struct {
	Text     string   `json:"text"`
	Details  []string `json:"details,omitempty"`
	Cautions []string `json:"cautions,omitempty"`
}

// Doing is how the program is called for a step of the sheet.
type Doing struct {
	Calibrate, Titrate string
	// Unknown is how it is called for a beaker of which it knows no chemistry.
	Unknown func(aim float64, start chem.Volume, bottles []string) string
}

// Sheet are the steps from the empty beaker to the labelled bottle.
func (x *Draft) Sheet(do Doing) []Step {
	var out []Step
	out = append(out, x.bottleSteps()...)
	out = append(out, x.waterStep())
	var late []Step
	for _, m := range x.Measures {
		if m.Late {
			late = append(late, x.lateStep(m))
			continue
		}
		out = append(out, x.earlyStep(m))
	}
	out = append(out, x.dissolveStep(), x.calibrateStep(do.Calibrate), x.settleStep(), x.titrateStep(do))
	out = append(out, late...)
	out = append(out, x.markStep(), x.checkStep())
	if x.Demand.Times > 1 {
		out = append(out, x.diluteStep())
	}
	return append(out, x.labelStep())
}

func (x *Draft) bottleSteps() []Step {
	var out []Step
	said := false
	for _, l := range x.Dilutions {
		s := l.step()
		if l.harsh() && !said {
			s.Cautions, said = append(s.Cautions, burns), true
		}
		out = append(out, s)
	}
	var names []string
	for _, t := range x.Titrants {
		what := string(t.Role)
		if t.Role == Fine && t.Pipette && x.Way == buffer.ByTitrant && !hasCoarse(x.Titrants) {
			what = "the whole way"
		}
		names = append(names, fmt.Sprintf("%s, %s: %s", t.Name(), what, t.Why))
	}
	with := "dropper"
	if slices.ContainsFunc(x.Titrants, func(t Chosen) bool { return t.Pipette }) {
		with = "pipette or dropper"
		if !slices.ContainsFunc(x.Titrants, func(t Chosen) bool { return !t.Pipette }) {
			with = "pipette"
		}
	}
	s := Step{Text: fmt.Sprintf("Have the titrants ready, each with its own %s and label:", with), Details: names}
	if !said {
		s.Cautions = []string{burns}
	}
	return append(out, s)
}

// burns is the caution for strong acids and bases.
const burns = "Strong acids and bases burn skin and eyes: goggles, gloves, fume cupboard for fuming acid. Read the safety data sheet of the bottle and follow the rules of your laboratory."

// cautions are what is known of the pure substances that are handled, each once.
func (x *Draft) hazards() []string {
	var out []string
	seen := map[string]bool{}
	say := func(r table.Reagent) {
		if r.Caution != "" && !seen[r.Name] {
			seen[r.Name] = true
			out = append(out, fmt.Sprintf("%s: %s", r.Name, r.Caution))
		}
	}
	for _, m := range x.Measures {
		say(m.Reagent)
	}
	for _, t := range x.Titrants {
		say(t.Reagent)
	}
	return out
}

// harsh reports whether what is poured or weighed calls for the full caution.
func (l Dilution) harsh() bool { return l.Source > 1 || l.Mass > 0 || l.Molar > 1 }

// pelletsOfKOH is the part of potassium hydroxide in its pellets, by mass: common
// practice, no source.
const pelletsOfKOH = 0.85

// step says how a solution is made up. Acid and base go into water.
func (l Dilution) step() Step {
	v := ml(l.Volume)
	s := Step{}
	what := fmt.Sprintf("%s of %s", ml(l.Take), l.From)
	if l.Mass > 0 {
		what = fmt.Sprintf("%s g of solid %s (%s g/mol)", chem.Digits(l.Mass.Grams(), 3), buffer.Short(l.Reagent), chem.Digits(float64(l.Reagent.MolarMass), 4))
	}
	s.Text = fmt.Sprintf("Make %s of %s: to about %s of water, stirred, add %s; let it cool, make up to %s, mix, label.", v, l.Name(), ml(roundVolume(l.First)), what, v)
	if l.Mass > 0 && l.Reagent.Name == "potassium hydroxide" {
		s.Details = append(s.Details, fmt.Sprintf("Pellets as sold hold about 15 %% of water: of those %s g; the label of the jar says how much (common practice, no source).", chem.Digits(l.Mass.Grams()/pelletsOfKOH, 3)))
	}
	kind := "Base"
	if l.Acid {
		kind = "Acid"
	}
	s.Cautions = append(s.Cautions, kind+" into water, never water into "+strings.ToLower(kind)+": slowly, in small portions.")
	if w := heatWords(l.heat()); w != "" {
		s.Cautions = append(s.Cautions, w)
	}
	return s
}

func (x *Draft) waterStep() Step {
	start := x.Setup.Start
	pct := 100 * float64(start/x.Setup.Final)
	need := x.wholeWay().Volume.Millilitres()
	room := (x.Setup.Final - start).Millilitres()
	s := Step{Text: fmt.Sprintf("Put %s of water into %s, with a stir bar.", ml(x.Water), x.vessel())}
	note := fmt.Sprintf("Once everything is in, the beaker will hold %s, %.0f %% of the mark", ml(start), pct)
	if solids := start - x.Water - volumes(early(x.Measures)); solids > 0.01*start {
		note += fmt.Sprintf(": the solids take up %s", ml(roundVolume(solids)))
	}
	note += fmt.Sprintf("; %s mL are left", chem.Digits(room, 3))
	if need > 0 && x.Way == buffer.ByTitrant {
		note += fmt.Sprintf(" and about %s mL of titrant are needed", chem.Digits(need, 2))
	}
	s.Details = append(s.Details, note+".")
	if list := x.hazards(); len(list) > 0 {
		s.Cautions = append(s.Cautions, "Hazards of the pure substances; the safety data sheet of each bottle comes first: "+strings.Join(list, "; ")+".")
	}
	return s
}

// beakers are the usual sizes, mL.
var beakers = []float64{25, 50, 100, 150, 250, 400, 600, 1000, 2000, 3000, 5000}

// Of a beaker no more is filled than lets it be stirred, and less than a third of the
// smallest size covers no bulb. Common practice, no source.
const (
	fullest   = 0.85
	lowestDip = 15.0 // mL
)

// vessel is what it is titrated in, in words: with room for the whole way.
func (x *Draft) vessel() string {
	most := x.Setup.Start
	if x.Way == buffer.ByTitrant {
		most += x.wholeWay().Volume
	}
	for _, b := range beakers {
		if most.Millilitres() > fullest*b {
			continue
		}
		if x.Setup.Start.Millilitres() < lowestDip {
			return "a narrow beaker or vial in which it covers the bulb of the electrode"
		}
		return fmt.Sprintf("a %s beaker", ml(chem.Volume(b/1e3)))
	}
	return fmt.Sprintf("a vessel that holds %s", ml(x.Setup.Final+x.Setup.Final/5))
}

// noticedShare is the part of the volume from which it is said that a solute is a part of the
// solvent as well: our own choice.
const noticedShare = 0.01

// step is how a measure goes into the beaker: late, into what has its pH.
func (m Measure) step(late bool) Step {
	weigh, measure, into, poured := "Weigh", "Measure", "; rinse the boat into the beaker", " into the water"
	if m.Reagent.Form == "liquid" {
		into = poured
	}
	if late {
		weigh, measure, into, poured = "Now that the pH is set: weigh", "Now that the pH is set: measure", "; add it and stir until it is dissolved", " into the beaker"
	}
	name := m.Reagent.FullName()
	if m.Reagent.Definite() {
		name += ", " + m.Reagent.Formula
	}
	switch {
	case m.Bottle != nil:
		return Step{Text: fmt.Sprintf("%s %s of the stock solution %s (%s: %s mmol) into the beaker.", measure, ml(m.Volume), m.Bottle.Name(), m.Why, chem.Digits(m.Amount.Millimoles(), 4))}
	case m.Mass == 0 && m.Volume > 0:
		return Step{Text: fmt.Sprintf("%s %s of %s as sold (%s; %s: %s mmol)%s.", measure, ml(m.Volume), name, m.AsSold, m.Why, chem.Digits(m.Amount.Millimoles(), 4), poured),
			Details:  []string{"Its strength varies with the bottle and its age: the label comes first."},
			Cautions: []string{"Read the safety data sheet of the bottle and follow the rules of your laboratory."}}
	}
	why := fmt.Sprintf("%s: %s mmol", m.Why, chem.Digits(m.Amount.Millimoles(), 4))
	if !m.Reagent.Definite() {
		why = m.Why
	}
	s := Step{Text: fmt.Sprintf("%s %s g of %s (%s)%s.", weigh, m.Mass.Weighed(), name, why, into)}
	if m.Volume > 0 {
		s.Text = fmt.Sprintf("%s %s g, or measure %s (%s), of %s (%s)%s.", weigh, m.Mass.Weighed(), ml(m.Volume), m.AsSold, name, why, poured)
		if m.Reagent.Caution != "" {
			s.Cautions = append(s.Cautions, "Read the safety data sheet of the bottle and follow the rules of your laboratory.")
		}
	}
	if m.Reagent.Inert() && m.Share > noticedShare {
		s.Details = append(s.Details, "It is not an acid, base or ion: it takes up volume and carries no charge, but a large share of it changes the solvent, and the pH with it.")
	}
	if n := m.Reagent.Note; n != "" {
		s.Details = append(s.Details, fmt.Sprintf("Note: %s.", n))
	}
	if m.Mass < 0.05 {
		s.Details = append(s.Details, "So little is hard to weigh: make a stock solution and measure that out.")
	}
	if m.Purity < 1 {
		s.Details = append(s.Details, fmt.Sprintf("The purity of %s %% is allowed for in the mass.", chem.Digits(100*m.Purity, 4)))
	}
	if len(m.Others) > 0 {
		var list []string
		for _, o := range m.Others {
			list = append(list, fmt.Sprintf("%s g of the %s", o.Mass.Weighed(), o.Reagent.Form))
		}
		s.Details = append(s.Details, "Check the jar. Instead: "+strings.Join(list, ", or ")+".")
	}
	return s
}

func (x *Draft) dissolveStep() Step {
	s := Step{Text: fmt.Sprintf("Stir until clear; the beaker now holds about %s.", ml(x.Setup.Start))}
	if len(x.Slow) > 0 {
		s.Text = fmt.Sprintf("Stir; not all of it dissolves yet. The beaker now holds about %s.", ml(x.Setup.Start))
		for _, r := range x.Slow {
			s.Details = append(s.Details, r.words(x.Titrants[0].Name()))
		}
	}
	weighed, titrated := x.warming()
	if w := heatWords(weighed); w != "" {
		if x.Chilled {
			w += " The last of it dissolves only then: a lukewarm bath saves the time."
		}
		s.Cautions = append(s.Cautions, "Dissolving: "+w)
	}
	if w := heatWords(titrated); w != "" {
		s.Cautions = append(s.Cautions, "Titrating: "+w)
	}
	if x.Way == buffer.ByTitrant && len(x.Slow) == 0 {
		first := fmt.Sprintf("The meter will show about pH %.1f. Far from that? Check the jar before adding anything: the other form of the substance is the usual reason.", x.Forecast.Start)
		sd := math.Max(x.InUse.Spread, x.StartSD)
		if sd > saidAtFirst {
			first = strings.Replace(first, ". Far", fmt.Sprintf(", known to ± %s. Farther", chem.Digits(sd, 1)), 1)
		}
		if sd > vague && (x.InUse.Spread > vague || sd > vagueAtFirst) {
			first = "What the meter will show first is not known well enough to tell one jar from another by it: look at the label twice."
		}
		s.Details = append(s.Details, first)
		if sd := x.InUse.Spread; math.Abs(x.Forecast.Start-x.Aim.Shown) <= 2*sd {
			s.Details = append(s.Details, fmt.Sprintf("It may already be at the aim: the pH is predicted to ± %s only. Read it before adding anything.", chem.Digits(sd, 1)))
		}
	}
	return s
}

// vague is the spread of a prediction from which a first reading far from it says nothing
// of the jar; our own choice.
const vague = 0.5

// saidAtFirst is how well the first reading is foretold where nothing is said of it; our own choice.
const saidAtFirst = 0.1

// vagueAtFirst is the same as vague, of the first reading alone: jars of one substance are two pH
// apart and more. Our own choice.
const vagueAtFirst = 1.0

// Standards are the labels, at 25 °C, of two usual calibration standards that
// bracket a pH: 1.68, 4.01, 7.00, 10.01, 12.45.
func Standards(ph float64) (low, high float64) {
	list := []float64{1.68, 4.01, 7.00, 10.01, 12.45}
	i := 1
	for i < len(list)-1 && list[i] < ph {
		i++
	}
	return list[i-1], list[i]
}

func (x *Draft) calibrateStep(do string) Step {
	low, high := Standards(x.Aim.Shown)
	s := Step{
		Text: fmt.Sprintf("Calibrate the meter with the standards %.2f and %.2f, which bracket the aim: %s.", low, high, do),
		Details: []string{
			"Their pH depends on temperature: use the value on the bottle for your temperature. Standards and beaker within 2 °C of each other.",
		},
		Cautions: []string{"The bulb is thin glass: rinse and blot it, do not wipe."},
	}
	for _, near := range []float64{low, high} {
		if math.Abs(x.Aim.Shown-near) < 0.2 {
			s.Details = append(s.Details, fmt.Sprintf("The aim is close to %.2f: a third standard on its other side covers readings beyond it.", near))
		}
	}
	return s
}

func (x *Draft) settleStep() Step {
	return Step{
		Text:     fmt.Sprintf("Bring the beaker to %s °C and hang the electrode in it, the stir bar clear of the bulb.", chem.Digits(float64(x.Demand.Bench), 3)),
		Details:  []string{"Stir so that the surface just moves. If the temperature is different, change temp_c in the plan: the aim moves with it."},
		Cautions: nil,
	}
}

// largestFlask is that of ordinary flasks and cylinders; common practice, no source.
const largestFlask = 2 * chem.Litre
