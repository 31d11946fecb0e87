package prepare

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
)

func (x *Draft) titrateStep(do Doing) Step {
	s := Step{Text: fmt.Sprintf("Titrate to pH %.2f on the meter: %s", x.Aim.Shown, do.Titrate)}
	if x.Way == buffer.BySalts {
		s.Text = fmt.Sprintf("Read the meter: it should show pH %.2f. Correct if need be: %s", x.Aim.Shown, do.Titrate)
	}
	if x.Setup.Advisable() != nil {
		s.Text = fmt.Sprintf("Titrate to pH %.2f on the meter by hand, in small portions.", x.Aim.Shown)
		if x.Way == buffer.BySalts {
			s.Text = fmt.Sprintf("Read the meter: it should show pH %.2f. Correct if need be by hand, in small portions.", x.Aim.Shown)
		}
		if do.Unknown != nil {
			s.Details = append(s.Details, "Or with the coach, without the plan: it begins with a small step and learns the curve from the readings: "+do.Unknown(x.Aim.Shown, x.Setup.Start, x.Setup.Bottles()))
		}
		s.Cautions = append(s.Cautions, fmt.Sprintf("Above an ionic strength of %g mol/kg the program gives no advice from this plan: the prediction may be far off; go by the meter.", chem.StrongLimit))
	}
	s.Details = append(s.Details, x.Aim.Words(x.Demand.Bench, x.Demand.Use))
	if w := x.surer(); w != "" {
		s.Details = append(s.Details, w)
	}
	if x.InUse.Spread > vague {
		s.Details = append(s.Details, "What making up does to the pH is not known here any better than the pH: read it again when it is made up, and correct it there.")
	}
	if t := x.wholeWay(); t.Volume > 0 && x.Way == buffer.ByTitrant {
		s.Details = append(s.Details, t.predicted())
		switch how := x.portions(); {
		case t.Role == Coarse:
			s.Details = append(s.Details, fmt.Sprintf("Stop short of the aim with it and continue with %s, %s.", x.fineName(), how))
		case how != dropwise:
			s.Details = append(s.Details, fmt.Sprintf("The last tenth of a pH %s.", how))
		}
	}
	if b := x.back(); b != nil {
		s.Details = append(s.Details, fmt.Sprintf("Overshot? %s titrates back; every mL of it undoes the excess and leaves %s mmol of salt in the buffer.", b.Name(), chem.Digits(b.Molar, 2)))
	}
	s.Cautions = append(s.Cautions, "Goggles and gloves. Never acidify anything that may hold cyanide, sulfide, azide, hypochlorite or sulfite without asking: poisonous gas.")
	return s
}

// portions are how the last steps are given: by drops, or where those are next to
// nothing by what moves a fifth of the tolerance.
func (x *Draft) portions() string {
	for _, t := range x.Titrants {
		if t.Role == Fine && t.PerDrop*mostDrops < portionPart*x.Demand.Tolerance {
			return fmt.Sprintf("in portions of about %s", ml(chem.Volume(chem.Rounded(portionPart*x.Demand.Tolerance/lastPart*float64(t.Tenth), 1))))
		}
	}
	return dropwise
}

const dropwise = "dropwise"

// portionPart is the part of the tolerance that a portion of the last steps moves: our own choice.
const portionPart = 0.2

// wholeWay is the titrant that the long way is made with: the first.
func (x *Draft) wholeWay() Chosen { return x.Titrants[0] }

func (x *Draft) fineName() string {
	for _, t := range x.Titrants {
		if t.Role == Fine {
			return t.Name()
		}
	}
	return ""
}

func (x *Draft) back() *Chosen {
	for i := range x.Titrants {
		if x.Titrants[i].Role == Back {
			return &x.Titrants[i]
		}
	}
	return nil
}

// drops are so many, to the nearest.
func drops(n float64) string {
	if n = math.Round(n); n == 1 {
		return "1 drop"
	}
	return fmt.Sprintf("%.0f drops", n)
}

// predicted is how much of a titrant would make the whole way, in words.
func (c Chosen) predicted() string {
	if c.Pipette {
		return fmt.Sprintf("Predicted: %s of %s if used throughout, too much to count in drops: the coach asks for mL, with a pipette or a burette.", ml(c.Volume), c.Name())
	}
	return fmt.Sprintf("Predicted: %s of %s if used throughout, %s.", drops(c.Drops), c.Name(), ml(c.Volume))
}

// lastDigit is what a meter shows last, from half as much again of which a spread is printed as
// twice of it: less is not worse than a meter is read.
const lastDigit = 0.01

// known is how well a part of the aim is known, where that is worse than a meter is read.
func known(sd float64) string {
	if sd < 1.5*lastDigit {
		return ""
	}
	return fmt.Sprintf(" ± %s", chem.Digits(sd, 1))
}

// sureOf is how many standard deviations of what the strength does are to be inside the
// tolerance: two hold 19 of 20. Our own choice.
const sureOf = 2

// surer is how a stock is brought to its pH whose own reading says too little of it: by a
// diluted sample.
func (x *Draft) surer() string {
	d := &x.Demand
	if sureOf*x.Aim.StrengthSD <= d.Tolerance {
		return ""
	}
	return fmt.Sprintf("What the stock is to read is known to ± %s only. Near the aim go by a diluted sample: 1 mL of it made up to %s mL, read at %s °C, is to be pH %.2f.",
		chem.Digits(x.Aim.StrengthSD, 1), chem.Digits(d.Times, 3), chem.Digits(float64(d.Bench), 3), x.Aim.Diluted())
}

// Words say why the aim is not the target, by the temperatures of the beaker at the bench
// and of the solution in use.
func (a Aim) Words(bench, use chem.Celsius) string {
	if math.Abs(a.Shown-a.Target) < 0.005 {
		return fmt.Sprintf("The aim is the target, pH %s: the temperature is the same, and making up moves it by less than 0.005.", phText(a.Target))
	}
	s := fmt.Sprintf("The target is pH %s in use at %s °C; the aim on the meter is %.2f at %s °C before making up:", phText(a.Target), chem.Digits(float64(use), 3), a.Shown, chem.Digits(float64(bench), 3))
	var why []string
	hundredths := func(x float64) int { // as it is printed
		v, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'f', 2, 64), 64)
		return int(math.Round(v * 100))
	}
	rest := hundredths(a.Shown) - hundredths(a.Target)
	for _, part := range []struct {
		by, sd float64
		what   string
	}{{a.Temperature, a.TemperatureSD, "because the pH changes with temperature"}, {a.Strength, a.StrengthSD, "because it is made stronger than it is used"},
		{a.Later, 0, "because of what goes in once the pH is set"}, {a.Dilution, 0, "because it is still to be made up to the mark"}} {
		if math.Abs(part.by) >= 0.005 {
			why = append(why, fmt.Sprintf("%+.2f%s %s", part.by, known(part.sd), part.what))
			rest -= hundredths(part.by)
		}
	}
	if why != nil && rest != 0 { // the parts as printed add up to the difference as printed
		by := "making up and rounding"
		if math.Abs(a.Dilution) >= 0.005 {
			by = "rounding"
		}
		why = append(why, fmt.Sprintf("%+.2f by %s", float64(rest)/100, by))
	}
	if why == nil {
		why = []string{fmt.Sprintf("%+.2f by temperature, strength and making up together, each less than 0.005", a.Shown-a.Target)}
	}
	return s + " " + strings.Join(why, ", ") + "."
}
