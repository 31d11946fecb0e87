package screen

import (
	"fmt"

	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/meter/run"
)

// Wanted is what a run is for, in words: a target, or what is looked for.
func Wanted(v run.View) string {
	f := v.Found
	if f == nil {
		return "Target pH " + Target(v) + " in use at " + Degrees(v.UseTemp)
	}
	switch f.What {
	case find.Strength:
		return "Looked for: the strength of " + f.Name + ", to " + f.Wanted()
	case find.Constant:
		return "Looked for: pK and amount of the " + f.Name + ", to " + f.Wanted()
	}
	return "Looked for: how much " + f.Name + " there is, to " + f.Wanted()
}

// Heading is where a run stands, in words: its aim, or what is known so far.
func Heading(v run.View) string {
	f := v.Found
	if f == nil {
		return "Aim " + AimNow(v)
	}
	text := fmt.Sprintf("So far %s, %s", f.Short(), f.Percent())
	if f.Main >= 0 {
		text += "; equivalence " + f.Points()[f.Main]
	}
	return text
}
