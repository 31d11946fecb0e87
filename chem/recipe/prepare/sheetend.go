package prepare

import (
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
)

// The last lines of a sheet: to the mark, for use, check and label.

func (x *Draft) markStep() Step {
	into := "a volumetric flask or cylinder"
	if x.Setup.Final > largestFlask {
		into = "a vessel with a mark at its volume"
	}
	s := Step{Text: fmt.Sprintf("Pour into %s, rinse beaker and electrode into it, make up to the mark at %s, mix.", into, ml(x.Setup.Final))}
	if weighed, titrated := x.warming(); math.Abs(weighed)+math.Abs(titrated) > noticed {
		s.Details = append(s.Details, "At room temperature: made up warm, it falls short of the mark on cooling.")
	}
	return s
}

// diluteStep is how a stock becomes what is used.
func (x *Draft) diluteStep() Step {
	d := &x.Demand
	part := ml(100 * chem.Millilitre / chem.Volume(d.Times))
	return Step{
		Text: fmt.Sprintf("For use: %s of it made up to 100 mL with water, which is then pH %s at %s °C.", part, phText(d.PH), chem.Digits(float64(d.Use), 3)),
		Details: []string{fmt.Sprintf("The stock itself should read pH %.2f at %s °C. Read a diluted sample before labelling the bottle; ± %s is predicted.",
			x.Aim.MadeUp, chem.Digits(float64(d.Bench), 3), chem.Digits(math.Max(x.diluted(), 0.01), 1))},
	}
}

// diluted is one standard deviation of the pH in use: as weighed, or as titrated where the
// meter was followed.
func (x *Draft) diluted() float64 {
	if x.Way == buffer.BySalts {
		return x.Spread
	}
	return math.Hypot(x.Aim.StrengthSD, x.Aim.TemperatureSD)
}

func (x *Draft) checkStep() Step {
	s := Step{Text: fmt.Sprintf("Check: the meter should show pH %.2f ± %s at %s °C.", x.Aim.MadeUp, chem.Digits(x.Demand.Tolerance, 2), chem.Digits(float64(x.Demand.Bench), 3))}
	if x.surer() != "" { // the stock itself says too little
		s.Text = fmt.Sprintf("Check: a diluted sample, 1 mL made up to %s mL, should show pH %.2f ± %s at %s °C.", chem.Digits(x.Demand.Times, 3), x.Aim.Diluted(), chem.Digits(x.Demand.Tolerance, 2), chem.Digits(float64(x.Demand.Bench), 3))
	}
	if x.Demand.Use != x.Demand.Bench && x.Demand.Times == 1 {
		s.Details = append(s.Details, fmt.Sprintf("At %s °C it is then pH %s. To check it there, calibrate the meter there.", chem.Digits(float64(x.Demand.Use), 3), phText(x.Demand.PH)))
	}
	s.Details = append(s.Details, "If it was warm from dissolving, check again after an hour.")
	s.Details = append(s.Details, "If it has to be sterile: filter it through 0.2 µm after this reading, discard the first few millilitres, and read a sample again. Autoclaving drives out carbon dioxide and ammonia and decomposes some additives: filter rather than heat (common practice, no source).")
	return s
}

func (x *Draft) labelStep() Step {
	keep := "storage and expiry by the rules of your laboratory"
	if x.Cold != "" {
		keep = x.Cold
	}
	parts := []string{title(&x.Demand), "reading: pH … at … °C", "date, initials, number of the preparation", keep, "hazards", "sterile or not"}
	if x.Salt > 0 {
		parts[0] += fmt.Sprintf(", ionic strength %s mM", chem.Digits(1e3*x.Demand.Ionic, 3))
	}
	return Step{Text: "Label: " + strings.Join(parts, "; ") + ".", Details: []string{"Waste by your local rules."}}
}
