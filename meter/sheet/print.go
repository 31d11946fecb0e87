package sheet

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/textfile"
)

// shown is how many candidates are listed beside a recipe.
const shown = 5

// Write prints the recipe, the bench sheet and how the buffer was chosen.
func Write(w io.Writer, p Page, x *prepare.Draft, list []buffer.Candidate, planFile string) error {
	var b strings.Builder
	b.WriteString(p.title(x.Plan.Name))
	b.WriteString(p.head("Recipe"))
	b.WriteString(p.card(Card(x)))
	b.WriteString("\n" + p.bullets(recipeLines(x)))
	if notes := x.Notes; len(notes) > 0 {
		b.WriteString(p.head("Notes"))
		b.WriteString(p.bullets(notes))
	}
	b.WriteString(p.head("Bench sheet"))
	b.WriteString(p.steps(x.Sheet(doing(planFile))))
	b.WriteString(p.head(choiceHead(x.Demand, len(list))))
	b.WriteString(p.Table(Candidates(x.Demand, withChosen(list, x.Buffer))))
	b.WriteString("\n" + p.para("Why "+x.Buffer.System.Name+", in penalty points; 1 is as bad as a pKa′ that is 1 pH away:"))
	b.WriteString(p.bullets(Reasons(x.Buffer)))
	_, err := io.WriteString(w, b.String())
	return err
}

// doing is how the program is called for the steps of a sheet.
func doing(planFile string) prepare.Doing {
	return prepare.Doing{Calibrate: "halfdrop calibrate", Titrate: "halfdrop titrate --port NAME --plan " + planFile, Unknown: planfile.WithoutIt}
}

func choiceHead(d buffer.Demand, n int) string {
	s := fmt.Sprintf("Buffers for pH %s at %s °C", phrase.PH(d.PH), chem.Digits(float64(d.Use), 3))
	if n > shown {
		s += fmt.Sprintf(" (best %d of %d; --list shows all)", shown, n)
	}
	return s
}

// withChosen are the first candidates and the chosen one, as it is made: from another form
// than was ranked where that one leaves no room.
func withChosen(list []buffer.Candidate, chosen buffer.Candidate) []buffer.Candidate {
	out := append([]buffer.Candidate(nil), list[:min(shown, len(list))]...)
	for i, c := range out {
		if c.System == chosen.System {
			out[i] = chosen
			return out
		}
	}
	return append(out, chosen)
}

// Candidates are the buffers that were weighed up, best first: the head of a table and its
// rows.
func Candidates(d buffer.Demand, list []buffer.Candidate) ([]string, [][]string) {
	head := []string{"buffer", "pKa′", "pH−pKa′", "mM/pH", "dpH/dT", "I mM", "penalty", "add"}
	var rows [][]string
	for _, c := range list {
		way := "acid"
		if c.Base {
			way = "base"
		}
		from := way + " to " + c.From.Name // which is what is cut first where there is no room
		if d.Way == buffer.BySalts {
			from = "both forms"
		}
		if m := misfits(c); m != "" {
			from = "!" + m + "; " + from
		}
		rows = append(rows, []string{c.System.Name, fmt.Sprintf("%.2f", c.PK), phrase.Minus(chem.Signed(c.Distance, 2)), chem.Digits(1e3*c.Capacity, 2),
			phrase.Minus(chem.Signed(c.DPHDT, 3)), fmt.Sprintf("%.0f", 1e3*c.PerLitre), fmt.Sprintf("%.2f", c.Points), from})
	}
	return head, rows
}

func misfits(c buffer.Candidate) string {
	out := phrase.Each(c.Misfits, func(m buffer.Misfit) string { return string(m.Property) })
	return strings.Join(out, ", ")
}

// Reasons are those of a candidate, with their points and where they come from.
func Reasons(c buffer.Candidate) []string {
	var out []string
	for _, r := range c.Why {
		s := fmt.Sprintf("%.2f  %s", r.Points, r.Words)
		if r.Source != "" {
			s += " [" + r.Source + "]"
		}
		out = append(out, s)
	}
	for _, k := range table.Constants(c.System.Name) {
		if k.PK == c.System.Steps[c.Step].PK {
			from := k.Source
			if k.PKBy == table.Memory {
				from += ", not confirmed by a second publication"
			}
			out = append(out, fmt.Sprintf("pKa %s at 25 °C and no ionic strength: %s", chem.Digits(k.PK, 4), from))
		}
	}
	return out
}

// recipeLines are what the card has no room for: the method in words, the figures in
// use, why the aim is not the target, and the alternative.
func recipeLines(x *prepare.Draft) []string {
	out := []string{}
	if x.Way == buffer.BySalts {
		out = append(out, saltsLine(x, x.Measures, x.Spread, x.InUse.PH, true))
	} else {
		out = append(out, oneFormLine(x, x.Measures, x.Forecast.Start, x.Amount.Millimoles(), x.AmountSD.Millimoles(), x.Base, titrantName(x), true))
		if t, ok := onTheWay(x); ok {
			how := "measured with a pipette or a burette"
			if !t.Pipette {
				how = fmt.Sprintf("%s of %s µL", phrase.Counted(int(math.Round(t.Drops)), "drop"), chem.Digits(1e6*t.Volume.Litres()/t.Drops, 3))
			}
			out = append(out, fmt.Sprintf("%s: %s mL, %s, if used throughout.", t.Name(), chem.Digits(t.Volume.Millilitres(), 3), how))
		}
	}
	out = append(out, fmt.Sprintf("In use: pH %.2f, capacity %s mM per pH, ionic strength %s mM, dpH/dT %s.",
		x.InUse.PH, chem.Digits(1e3*x.InUse.Capacity, 2), chem.Digits(1e3*x.InUse.MolarStrength(), 3), phrase.Minus(perDegree(x.InUse, 3))))
	out = append(out, x.Aim.Words(x.Setup.BenchTemp, x.Setup.UseTemp))
	switch o := x.Other; {
	case o == nil:
		out = append(out, fmt.Sprintf("Alternative: none, %s.", phrase.Plain(x.OtherErr)))
	case o.Way == buffer.BySalts:
		line := "Alternative: " + phrase.LowerFirst(saltsLine(x, o.Measures, o.Spread, x.Demand.PH, false))
		if list := o.Strangers(x.Demand); len(list) > 0 {
			line += fmt.Sprintf(" It brings %s, which is not what was asked for.", strings.Join(list, " and "))
		}
		out = append(out, line)
	default:
		out = append(out, "Alternative: "+phrase.LowerFirst(oneFormLine(x, o.Measures, o.Start, o.Amount.Millimoles(), math.NaN(), o.Base, o.Titrant.Name, false)))
	}
	return out
}

func titrantName(x *prepare.Draft) string {
	return x.Titrants[0].Reagent.Name
}

func saltsLine(x *prepare.Draft, list []prepare.Measure, spread, ph float64, long bool) string {
	return fmt.Sprintf("Mixed acid and base forms: %s. Predicted pH %s ± %s as weighed.", measured(early(list), long)+afterwards(list, long), phrase.PH(ph), chem.Digits(math.Max(spread, 0.01), 1))
}

func oneFormLine(x *prepare.Draft, list []prepare.Measure, start, n, sd float64, base bool, titrant string, long bool) string {
	way := "Dissolve the base form, titrate with acid"
	if base {
		way = "Dissolve the acid form, titrate with base"
	}
	if turnedByTheRest(x.Demand, list, base) {
		way = strings.NewReplacer(" the acid form,", " and", " the base form,", " and").Replace(way)
	}
	if sd >= n && !math.IsInf(sd, 0) {
		return fmt.Sprintf("%s: %s, pH %.1f at first, as far as that can be computed. How much %s it then takes is not known to better than ± %s mmol: go by the meter%s.", way, measured(early(list), long), start, titrant, chem.Digits(sd, 2), afterwards(list, long))
	}
	amount := chem.Digits(n, 3)
	if sd > 0 && !math.IsInf(sd, 0) {
		amount = withSpread(n, sd)
	}
	return fmt.Sprintf("%s: %s, pH %.1f at first; then about %s mmol of %s%s.", way, measured(early(list), long), start, amount, titrant, afterwards(list, long))
}

// withSpread is a number with its spread, above zero, both with the digits that the spread has.
func withSpread(x, sd float64) string {
	dec := max(0, -int(math.Floor(math.Log10(sd))))
	return fmt.Sprintf("%.*f ± %.*f", dec, x, dec, sd)
}

// turnedByTheRest reports whether what else is in it carries the pH past the target,
// so that the buffer alone would be titrated the other way.
func turnedByTheRest(d buffer.Demand, list []prepare.Measure, base bool) bool {
	s := list[0].Reagent.Dissolved(list[0].Amount)
	alone, err := solved.Describe(s.At(d.Use).MadeUpTo(d.Volume * chem.Volume(d.Times)))
	return err == nil && (alone.PH > d.PH) == base
}

// early are those of a list that do not wait until the pH is set.
func early(list []prepare.Measure) []prepare.Measure {
	return slices.DeleteFunc(slices.Clone(list), func(m prepare.Measure) bool { return m.Late })
}

// afterwards is what does, in words; "" for nothing.
func afterwards(list []prepare.Measure, long bool) string {
	late := slices.DeleteFunc(slices.Clone(list), func(m prepare.Measure) bool { return !m.Late })
	if len(late) == 0 {
		return ""
	}
	return "; after the pH is set: " + measured(late, long)
}

// measured lists what is weighed and measured.
func measured(list []prepare.Measure, long bool) string {
	var out []string
	for _, m := range list {
		amount, of := measure(m)
		s := amount + " of " + of
		for _, o := range m.Others {
			if long {
				s += fmt.Sprintf(" or %s g of the %s", o.Mass.Weighed(), o.Reagent.Form)
			}
		}
		out = append(out, s)
	}
	return strings.Join(out, ", ")
}

// WriteCandidates is halfdrop plan --list.
func WriteCandidates(w io.Writer, d buffer.Demand, list []buffer.Candidate, asJSON bool) error {
	if asJSON {
		return textfile.JSONLine(w, candidatesJSON(list))
	}
	p := Plain
	var b strings.Builder
	b.WriteString(p.title(choiceHead(d, 0)))
	b.WriteString(p.Table(Candidates(d, list)))
	if missing := buffer.Missing(d, list); len(missing) > 0 {
		b.WriteString("\n" + p.bullets(missing))
	}
	for _, c := range list {
		b.WriteString(p.head(c.System.Name))
		b.WriteString(p.bullets(Reasons(c)))
	}
	_, err := io.WriteString(w, b.String())
	return err
}
