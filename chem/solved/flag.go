package solved

import "fmt"

// Doubt is a reason to trust a result less.
type Doubt uint8

// The doubts a result may carry.
const (
	// HighStrength: the ionic strength is above what the activity model was
	// checked at. A pH is shown with its doubt; nothing is advised on it.
	HighStrength     Doubt = iota + 1
	Unverified             // the pH rests on a pK that no second publication confirms
	HeatUnknown            // away from 25 °C, and the heat of a step that matters is not known
	Unbuffered             // a trace of carbon dioxide from the air would move the pH
	NoActivities           // computed for an ideal solution
	ClassOnly              // activity coefficients that matter are those of a class of ions
	MissingChemistry       // something is known to happen that cannot be computed
	OtherSolvent           // neutral solutes make it another solvent than water
	OpenVessel             // a carbonate solution exchanges carbon dioxide with the air
)

// Flag is a doubt and what it is about.
type Flag struct {
	Doubt  Doubt
	System string  // where it is about one
	With   string  // MissingChemistry: the other one
	Step   int     // Unverified, HeatUnknown: place in System.Steps, from 1
	PK     float64 // of that step
	Size   float64 // one standard deviation of the pH it adds; OtherSolvent: the share of the volume
	Limit  float64 // HighStrength: the ionic strength up to which the model was checked, mol/kg
	Words  string  // MissingChemistry: what happens
}

// names are the codes of the doubts, for programs.
var names = map[Doubt]string{
	HighStrength: "high_strength", Unverified: "unverified_pk", HeatUnknown: "heat_unknown", Unbuffered: "unbuffered", NoActivities: "ideal",
	ClassOnly: "class_of_ions", MissingChemistry: "missing_chemistry", OtherSolvent: "solvent", OpenVessel: "open_vessel",
}

// Code is a short name of the doubt that does not change.
func (d Doubt) Code() string { return names[d] }

// String says the flag in words.
func (f Flag) String() string {
	switch f.Doubt {
	case HighStrength:
		return fmt.Sprintf("the ionic strength is above %g mol/kg: the activity model was not checked there", f.Limit)
	case Unverified:
		return fmt.Sprintf("%s pK %.2f is unverified: no second publication confirms it", f.System, f.PK)
	case HeatUnknown:
		return fmt.Sprintf("%s pK %.2f: its change with temperature is not known", f.System, f.PK)
	case Unbuffered:
		return "hardly buffered: a trace of carbon dioxide shifts this pH"
	case NoActivities:
		return "ideal solution: activity coefficients are off"
	case ClassOnly:
		return fmt.Sprintf("%s: its ions have no activity parameters of their own beside these; those of their class add %.2f to the uncertainty", f.System, f.Size)
	case MissingChemistry:
		return f.Words
	case OtherSolvent:
		return fmt.Sprintf("neutral solutes take up %.0f %% of the volume: they change the solvent, which no pK here allows for", 100*f.Size)
	case OpenVessel:
		return fmt.Sprintf("%s takes up or gives off carbon dioxide in an open vessel: about %.2f pH", f.System, f.Size)
	}
	return "unknown uncertainty"
}
