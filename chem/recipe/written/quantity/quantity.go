// Package quantity finds numbers with their units in a text, and the name that is left.
package quantity

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"example.org/halfdrop/chem/recipe"
)

// Kind is what a number with a unit counts.
type Kind string

// The kinds, each in mol, g, mol/L, g/L, L or parts of one.
const (
	OfAmount      Kind = "amount"
	OfMass        Kind = "mass"
	OfStrength    Kind = "strength"
	OfMassConc    Kind = "mass concentration"
	OfVolume      Kind = "volume"
	OfShare       Kind = "percentage"
	OfWeightShare Kind = "percentage by weight"
	OfVolumeShare Kind = "percentage by volume"
)

// units are those that are read; the longer ones come first.
var units = []struct {
	text  string
	what  Kind
	scale float64
}{
	{"mg/mL", OfMassConc, 1}, {"mg/ml", OfMassConc, 1}, {"µg/mL", OfMassConc, 1e-3}, {"µg/ml", OfMassConc, 1e-3}, {"ug/mL", OfMassConc, 1e-3}, {"ug/ml", OfMassConc, 1e-3},
	{"g/mL", OfMassConc, 1e3}, {"g/L", OfMassConc, 1}, {"g/l", OfMassConc, 1}, {"mg/L", OfMassConc, 1e-3}, {"mg/l", OfMassConc, 1e-3}, {"µg/L", OfMassConc, 1e-6},
	{"mL/L", OfVolumeShare, 1e-3}, {"ml/L", OfVolumeShare, 1e-3}, {"ml/l", OfVolumeShare, 1e-3}, {"µL/mL", OfVolumeShare, 1e-3}, {"µl/ml", OfVolumeShare, 1e-3}, {"µL/L", OfVolumeShare, 1e-6},
	{"mmol/L", OfStrength, 1e-3}, {"mmol/l", OfStrength, 1e-3}, {"mol/L", OfStrength, 1}, {"mol/l", OfStrength, 1}, {"µmol/L", OfStrength, 1e-6},
	{"mmol", OfAmount, 1e-3}, {"µmol", OfAmount, 1e-6}, {"umol", OfAmount, 1e-6}, {"nmol", OfAmount, 1e-9}, {"mol", OfAmount, 1},
	{"mM", OfStrength, 1e-3}, {"µM", OfStrength, 1e-6}, {"uM", OfStrength, 1e-6}, {"nM", OfStrength, 1e-9}, {"M", OfStrength, 1}, {"N", OfStrength, 1},
	{"mL", OfVolume, 1e-3}, {"ml", OfVolume, 1e-3}, {"µL", OfVolume, 1e-6}, {"µl", OfVolume, 1e-6}, {"uL", OfVolume, 1e-6}, {"ul", OfVolume, 1e-6}, {"L", OfVolume, 1}, {"l", OfVolume, 1},
	{"drops", OfVolume, recipe.DefaultDropUL * 1e-6}, {"drop", OfVolume, recipe.DefaultDropUL * 1e-6},
	{"kg", OfMass, 1e3}, {"mg", OfMass, 1e-3}, {"µg", OfMass, 1e-6}, {"ug", OfMass, 1e-6}, {"g", OfMass, 1},
}

// Pattern is a number with its unit, set apart from the name of a reagent.
var Pattern = func() *regexp.Regexp {
	var list []string
	for _, u := range units {
		list = append(list, regexp.QuoteMeta(u.text))
	}
	return regexp.MustCompile(`(?:^|[\s(])((?:[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)(?:[eE][+-]?[0-9]{1,2})?)\s*(?:(%)\s*(?:\(?\s*(w/v|v/v|w/w|wt/vol|vol/vol)\s*\)?)?|(` + strings.Join(list, "|") + `))(?:$|[\s),.:])`)
}()

// In takes the numbers with units out of a text; what is left is a name.
func In(text string) (name string, got map[Kind]float64, err error) {
	got = map[Kind]float64{}
	rest := " " + strings.NewReplacer("μ", "µ", "µ", "µ", "％", "%").Replace(text) + " "
	for {
		m := Pattern.FindStringSubmatchIndex(rest)
		if m == nil {
			return cleaned(rest), got, nil
		}
		at := func(i int) string {
			if m[2*i] < 0 {
				return ""
			}
			return rest[m[2*i]:m[2*i+1]]
		}
		x := Number(at(1))
		if math.IsNaN(x) {
			return "", nil, &recipe.FieldError{What: fmt.Sprintf("%q may be thousands or a decimal", at(1)), Hint: "write 1000, or 1.5 with a decimal point"}
		}
		k, scale, err := Unit(at(2), at(3), at(4))
		if err != nil {
			return "", nil, err
		}
		if _, twice := got[k]; twice {
			return "", nil, &recipe.FieldError{What: fmt.Sprintf("gives the %s twice", k), Hint: "one reagent per part; separate the parts with semicolons"}
		}
		got[k] = x * scale
		after := rest[m[1]-1:]
		if rest[m[0]] == '(' {
			after = strings.TrimPrefix(after, ")")
		}
		rest = rest[:m[0]] + "  " + after
	}
}

// Unit is what a percent sign with its basis, or a unit, counts, and what one of it is.
func Unit(percent, by, unit string) (Kind, float64, error) {
	if percent != "" {
		switch by {
		case "":
			return OfShare, 0.01, nil
		case "v/v", "vol/vol":
			return OfVolumeShare, 0.01, nil
		case "w/w":
			return "", 0, &recipe.FieldError{What: "% w/w leaves open how dense the solution is", Hint: "give % w/v, g/L or g"}
		}
		return OfWeightShare, 0.01, nil
	}
	for _, u := range units {
		if u.text == unit {
			return u.what, u.scale, nil
		}
	}
	return "", 0, &recipe.FieldError{What: fmt.Sprintf("unit %q is not known", unit)}
}

// Number reads a decimal with a point or a comma, "1e-3" too; NaN for "1,250",
// which may be either.
func Number(s string) float64 {
	if i := strings.IndexByte(s, ','); i > 0 && len(s)-i == 4 && s[:i] != "0" {
		return math.NaN()
	}
	x, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
	if err != nil {
		return math.NaN()
	}
	return x
}

var (
	filler = regexp.MustCompile(`(?i)^(?:of|de|add|mix|dissolve|weigh|take|combine|the|a|stock|solution|final)\s+|\s+(?:stock|solution|final|conc\.?|concentration|of)$`)
	spaces = regexp.MustCompile(`\s+`)
)

// cleaned is a name without the words and signs round it.
func cleaned(s string) string {
	s = strings.Trim(spaces.ReplaceAllString(s, " "), " ,.:;=-")
	for {
		t := filler.ReplaceAllString(s, "")
		t = strings.Trim(strings.TrimSuffix(strings.TrimPrefix(t, "() "), " ()"), " ,.:;=-")
		if t == s {
			return s
		}
		s = t
	}
}
