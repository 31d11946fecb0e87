package recipe

import (
	"fmt"

	"example.org/halfdrop/chem"
)

// What a titrant is given by.
const (
	Dropper = "dropper"
	Pipette = "pipette"
	burette = "burette"
)

// Steps and spreads of what gives mL, a choice of this project: what a graduated
// pipette of 5 mL and a burette with divisions of 0.1 mL are read to by hand.
const (
	DefaultStepML       = 0.05
	DefaultPipetteSDPct = 1.0
	defaultBuretteSDPct = 0.5
)

// by fills in what the titrant is given by.
func (t Titrant) by(st *Stock) error {
	sd := DefaultPipetteSDPct
	switch t.By {
	case "", Dropper:
		for key, given := range map[string]bool{"step_ml": t.StepML != nil, "ml_sd_pct": t.MLSDPct != nil} {
			if given {
				return &FieldError{key, "of a dropper", `it goes with by = "pipette" or by = "burette"; a dropper has drop_ul`}
			}
		}
		return nil
	case burette:
		sd = defaultBuretteSDPct
	case Pipette:
	default:
		return &FieldError{"by", fmt.Sprintf("%q: must be dropper, pipette or burette", t.By), ""}
	}
	if t.DropUL != nil || t.DropSDPct != nil {
		return &FieldError{"drop_ul", "of a " + t.By, "a drop goes with a dropper; the steps of a " + t.By + " are step_ml"}
	}
	step := or(t.StepML, DefaultStepML)
	if !(step >= 0.001 && step <= 10) {
		return &FieldError{"step_ml", fmt.Sprintf("%g is outside 0.001–10", step), ""}
	}
	if sd = or(t.MLSDPct, sd); !(sd >= 0.01 && sd <= 20) {
		return &FieldError{"ml_sd_pct", fmt.Sprintf("%g is outside 0.01–20", sd), ""}
	}
	st.ByML, st.Drop, st.DropSD = true, chem.Volume(step)*chem.Millilitre, sd/100
	return nil
}
