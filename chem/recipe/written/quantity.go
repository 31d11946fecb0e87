package written

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/table"
)

// kind is what a number with a unit counts.
type kind string

// The kinds, each in mol, g, mol/L, g/L, L or parts of one.
const (
	ofAmount      kind = "amount"
	ofMass        kind = "mass"
	ofStrength    kind = "strength"
	ofMassConc    kind = "mass concentration"
	ofVolume      kind = "volume"
	ofShare       kind = "percentage"
	ofWeightShare kind = "percentage by weight"
	ofVolumeShare kind = "percentage by volume"
)

// units are those that are read; the longer ones come first.
var units = []struct {
	text  string
	what  kind
	scale float64
}{
	{"mg/mL", ofMassConc, 1}, {"mg/ml", ofMassConc, 1}, {"µg/mL", ofMassConc, 1e-3}, {"µg/ml", ofMassConc, 1e-3}, {"ug/mL", ofMassConc, 1e-3}, {"ug/ml", ofMassConc, 1e-3},
	{"g/mL", ofMassConc, 1e3}, {"g/L", ofMassConc, 1}, {"g/l", ofMassConc, 1}, {"mg/L", ofMassConc, 1e-3}, {"mg/l", ofMassConc, 1e-3}, {"µg/L", ofMassConc, 1e-6},
	{"mL/L", ofVolumeShare, 1e-3}, {"ml/L", ofVolumeShare, 1e-3}, {"ml/l", ofVolumeShare, 1e-3}, {"µL/mL", ofVolumeShare, 1e-3}, {"µl/ml", ofVolumeShare, 1e-3}, {"µL/L", ofVolumeShare, 1e-6},
	{"mmol/L", ofStrength, 1e-3}, {"mmol/l", ofStrength, 1e-3}, {"mol/L", ofStrength, 1}, {"mol/l", ofStrength, 1}, {"µmol/L", ofStrength, 1e-6},
	{"mmol", ofAmount, 1e-3}, {"µmol", ofAmount, 1e-6}, {"umol", ofAmount, 1e-6}, {"nmol", ofAmount, 1e-9}, {"mol", ofAmount, 1},
	{"mM", ofStrength, 1e-3}, {"µM", ofStrength, 1e-6}, {"uM", ofStrength, 1e-6}, {"nM", ofStrength, 1e-9}, {"M", ofStrength, 1}, {"N", ofStrength, 1},
	{"mL", ofVolume, 1e-3}, {"ml", ofVolume, 1e-3}, {"µL", ofVolume, 1e-6}, {"µl", ofVolume, 1e-6}, {"uL", ofVolume, 1e-6}, {"ul", ofVolume, 1e-6}, {"L", ofVolume, 1}, {"l", ofVolume, 1},
	{"drops", ofVolume, recipe.DefaultDropUL * 1e-6}, {"drop", ofVolume, recipe.DefaultDropUL * 1e-6},
	{"kg", ofMass, 1e3}, {"mg", ofMass, 1e-3}, {"µg", ofMass, 1e-6}, {"ug", ofMass, 1e-6}, {"g", ofMass, 1},
}

// quantity is a number with its unit, set apart from the name of a reagent.
var quantity = func() *regexp.Regexp {
	var list []string
	for _, u := range units {
		list = append(list, regexp.QuoteMeta(u.text))
	}
	return regexp.MustCompile(`(?:^|[\s(])((?:[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)(?:[eE][+-]?[0-9]{1,2})?)\s*(?:(%)\s*(?:\(?\s*(w/v|v/v|w/w|wt/vol|vol/vol)\s*\)?)?|(` + strings.Join(list, "|") + `))(?:$|[\s),.:])`)
}()

// quantities takes the numbers with units out of a text; what is left is a name.
func quantities(text string) (name string, got map[kind]float64, err error) {
	got = map[kind]float64{}
	rest := " " + strings.NewReplacer("μ", "µ", "µ", "µ", "％", "%").Replace(text) + " "
	for {
		m := quantity.FindStringSubmatchIndex(rest)
		if m == nil {
			return cleaned(rest), got, nil
		}
		at := func(i int) string {
			if m[2*i] < 0 {
				return ""
			}
			return rest[m[2*i]:m[2*i+1]]
		}
		x := number(at(1))
		if math.IsNaN(x) {
			return "", nil, &recipe.FieldError{What: fmt.Sprintf("%q may be thousands or a decimal", at(1)), Hint: "write 1000, or 1.5 with a decimal point"}
		}
		k, scale, err := unitOf(at(2), at(3), at(4))
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

func unitOf(percent, by, unit string) (kind, float64, error) {
	if percent != "" {
		switch by {
		case "":
			return ofShare, 0.01, nil
		case "v/v", "vol/vol":
			return ofVolumeShare, 0.01, nil
		case "w/w":
			return "", 0, &recipe.FieldError{What: "% w/w leaves open how dense the solution is", Hint: "give % w/v, g/L or g"}
		}
		return ofWeightShare, 0.01, nil
	}
	for _, u := range units {
		if u.text == unit {
			return u.what, u.scale, nil
		}
	}
	return "", 0, &recipe.FieldError{What: fmt.Sprintf("unit %q is not known", unit)}
}

// number reads a decimal with a point or a comma, "1e-3" too; NaN for "1,250",
// which may be either.
func number(s string) float64 {
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

// ReadBottle reads "NaOH 1 M", and "NaOH 0.1 M, bottle K4" for one that is remembered under
// that name. The error is of type Problems.
func ReadBottle(text string) (buffer.Bottle, error) {
	var bad recipe.Problems
	known := ""
	if i := strings.Index(strings.ToLower(text), ", bottle "); i > 0 {
		text, known = text[:i], strings.TrimSpace(text[i+len(", bottle "):])
	}
	if m := phWords.FindString(text); m != "" {
		bad.Add("stock", fmt.Sprintf("%q: a solution in stock cannot have a pH of its own here", text), "leave the pH out: what it was brought to its pH with is made up for when the whole is titrated")
		return buffer.Bottle{}, bad
	}
	name, got, err := quantities(text)
	molar, ok := got[ofStrength]
	switch {
	case err != nil:
		bad.Add("stock", fmt.Sprintf("%q: %s", text, err), recipe.Hint(err))
	case len(got) == 1 && gramsPerLitre(name, got) > 0:
		r, n, err := table.FromMass(name, chem.Mass(gramsPerLitre(name, got)), 1)
		if err == nil {
			err = table.StaysDissolved(r, n)
		}
		if err != nil {
			bad.Add("stock", fmt.Sprintf("%q: %s", text, recipe.Message(err)), recipe.Hint(err))
			return buffer.Bottle{}, bad
		}
		return buffer.Bottle{Reagent: r, Molar: chem.Molarity(n), Known: known}, nil
	case len(got) == 1 && got[ofShare] > 0:
		return bottleOf(name, 100*got[ofShare], text, known)
	case !ok || len(got) != 1 || !(molar > 0):
		bad.Add("stock", fmt.Sprintf("%q: it needs a reagent and a strength", text), `as in "NaOH 1 M"`)
	}
	if len(bad) > 0 {
		return buffer.Bottle{}, bad
	}
	r, err := table.ByAmount(name)
	if err != nil {
		bad.Add("stock", fmt.Sprintf("%q: %s", text, recipe.Message(err)), recipe.Hint(err))
		return buffer.Bottle{}, bad
	}
	return buffer.Bottle{Reagent: r, Molar: chem.Molarity(molar), Known: known}, nil
}

// gramsPerLitre is the strength of a bottle that is said by mass, "NaN3 2 %", "SDS 100 g/L"; 0
// where it is not, or the percentage is that of an acid or base as it is sold.
func gramsPerLitre(name string, got map[kind]float64) float64 {
	share := got[ofShare]
	if r, err := table.ByAmount(name); err != nil || r.Form == "liquid" || len(r.Stocks) > 0 {
		share = 0
	}
	return got[ofMassConc] + 1e3*(got[ofWeightShare]+share)
}

// bottleOf is a bottle as it is sold, by its percentage of mass.
func bottleOf(name string, percent float64, text, known string) (buffer.Bottle, error) {
	var bad recipe.Problems
	r, err := table.ByAmount(name)
	if err != nil {
		bad.Add("stock", fmt.Sprintf("%q: %s", text, recipe.Message(err)), recipe.Hint(err))
		return buffer.Bottle{}, bad
	}
	x := Part{Ingredient: buffer.Ingredient{Reagent: r}, Text: text}
	if err := x.concentrate(percent, chem.Litre, &Reading{}); err != nil {
		bad.Add("stock", fmt.Sprintf("%q: %s", text, recipe.Message(err)), recipe.Hint(err))
		return buffer.Bottle{}, bad
	}
	return buffer.Bottle{Reagent: r, Molar: chem.Molarity(x.Amount), Known: known}, nil
}
