package recipe

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/table"
)

// Ingredient is a part of a recipe as somebody wrote it.
type Ingredient struct {
	Text    string // as written
	Name    string // as written, without the amount
	Reagent table.Reagent
	Amount  chem.Amount // in the finished solution; grams of what has no molar mass
	Taken   string      // which jar was taken for a short name; "" where the name says it
	Share   string      // "10 % v/v" where it was given so
}

// Reading is a recipe as somebody wrote it.
type Reading struct {
	Parts   []Ingredient
	PH      float64     // it is to have; NaN where none is said
	Temp    float64     // °C at which; NaN where none is said
	Titrant string      // what brings it there: "HCl"; "" where nothing is said
	Volume  chem.Volume // it is made up to; 0 where nothing is said
	Notes   []string    // how it was understood
}

// separators set the parts of a recipe apart.
var separators = regexp.MustCompile(`;|\n|•|, | \+ |,\s*$|\s+and\s+`)

// Read takes a recipe apart. Concentrations count for a final volume, unless
// the recipe says what it is made up to. The error is of type Problems.
//
// It reads what people write: "50 mM Tris-HCl pH 8.0", "NaCl 8 g", "HCl 1 M 40
// mL", "10 % glycerol", "0.1 % (w/v) SDS", "EDTA 0.5 M 2 mL", "adjust to pH 7.4
// with NaOH", "water to 1 L".
func Read(text string, final chem.Volume) (*Reading, error) {
	r := &Reading{PH: math.NaN(), Temp: math.NaN()}
	var bad Problems
	var parts []string
	for _, p := range separators.Split(text, -1) {
		p = strings.TrimSpace(strings.TrimLeft(strings.TrimSpace(p), "-*– "))
		if p == "" || r.instruction(p) {
			continue
		}
		if m := inWords.FindStringSubmatch(p); m != nil {
			r.volume(m[1], m[2])
			p = inWords.ReplaceAllString(p, "")
		}
		parts = append(parts, p)
	}
	if r.Volume > 0 {
		final = r.Volume
	}
	for _, p := range parts {
		x, err := r.part(p, final)
		if err != nil {
			bad.add("", fmt.Sprintf("%q: %s", p, message(err)), hint(err))
			continue
		}
		if x != nil {
			r.Parts = append(r.Parts, *x)
		}
	}
	if len(bad) == 0 && len(r.Parts) == 0 {
		bad.add("", "no reagent in it", `write parts separated by semicolons, as in "Tris 6.06 g; HCl 29 mmol" or "50 mM Tris; 150 mM NaCl"`)
	}
	if len(bad) > 0 {
		return nil, bad
	}
	return r, nil
}

// message is an error without the name of its package.
func message(err error) string { return strings.TrimPrefix(err.Error(), "table: ") }

var (
	phWords    = regexp.MustCompile(`(?i)\(?\bpH\s*(?:=|:|of|to|is|was)?\s*([0-9]+(?:[.,][0-9]+)?)\)?`)
	tempWords  = regexp.MustCompile(`(?i)[,(]?\s*(?:at|@)?\s*([0-9]+(?:[.,][0-9]+)?)\s*°\s*C\)?`)
	withWords  = regexp.MustCompile(`(?i)\bwith\s+(?:[0-9.,]+\s*[MN]\s+)?([A-Za-z][A-Za-z0-9]*)`)
	adjusting  = regexp.MustCompile(`(?i)\b(?:adjust(?:ed)?|bring|brought|titrat(?:e|ed)|set|final|the|solution|to|using|dropwise)\b`)
	waterWords = regexp.MustCompile(`(?i)^(?:add\s+|and\s+|with\s+|fill\s+)*(?:dd|di|mq|ultrapure\s+|distilled\s+|deionis?z?ed\s+|pure\s+)*(?:H2O|water)?\s*(?:(?:up\s+|make\s+up\s+|made\s+up\s+|q\.?s\.?\s+|ad\s+)*(?:to|in|ad|for|per)?\s*([0-9]+(?:[.,][0-9]+)?|an?|one)?\s*(mL|ml|L|l|litres?|liters?))?\s*(?:final\s+volume\s*)?(?:with\s+(?:dd|di)?(?:H2O|water))?\.?$`)
	inWords    = regexp.MustCompile(`(?i)\s+(?:dissolved\s+)?(?:in|per)\s+([0-9]+(?:[.,][0-9]+)?|an?|one)?\s*(mL|ml|L|l|litres?|liters?)\b(?:\s+of)?(?:\s+(?:dd|di)?(?:H2O|water))?\.?$`)
	makeUp     = regexp.MustCompile(`(?i)\b(?:make|made|fill|bring|brought|q\.?s\.?)\b.*\bto\s+([0-9]+(?:[.,][0-9]+)?)\s*(mL|ml|L|l|litres?|liters?)\b`)
)

// instruction reads what is no reagent: a pH to bring it to, a volume to make
// it up to, water.
func (r *Reading) instruction(p string) bool {
	if m := makeUp.FindStringSubmatch(p); m != nil && !phWords.MatchString(p) {
		r.volume(m[1], m[2])
		return true
	}
	if m := waterWords.FindStringSubmatch(p); m != nil {
		r.volume(m[1], m[2])
		return true
	}
	m := phWords.FindStringSubmatch(p)
	if m == nil {
		return false
	}
	rest := phWords.ReplaceAllString(p, " ")
	with := withWords.FindStringSubmatch(rest)
	temp := tempWords.FindStringSubmatch(rest)
	rest = withWords.ReplaceAllString(tempWords.ReplaceAllString(rest, " "), " ")
	rest = strings.Trim(adjusting.ReplaceAllString(rest, " "), " .()")
	if rest != "" {
		// "HCl to pH 7.4" names the titrant alone; anything else is a reagent.
		if _, amounts, err := quantities(rest); err != nil || len(amounts) > 0 || !strongName(rest) {
			return false
		}
		with = []string{"", rest}
	}
	r.PH = number(m[1])
	if temp != nil {
		r.Temp = number(temp[1])
	}
	if with != nil {
		r.Titrant = with[1]
	}
	return true
}

// strongName reports whether a name is that of a reagent that titrates.
func strongName(name string) bool {
	x, err := table.ByAmount(name)
	if err != nil {
		return false
	}
	for _, p := range x.Parts {
		if p.System != nil && table.KindOf(p.System.Name) == table.Buffer && x.Form != "solution" && x.Form != "liquid" {
			return false
		}
	}
	return len(x.Parts) == 1
}

func (r *Reading) volume(n, unit string) {
	if unit == "" {
		return
	}
	v := 1.0
	if n != "" && !strings.ContainsAny(n, "aoAO") {
		v = number(n)
	}
	if strings.HasPrefix(strings.ToLower(unit), "m") {
		v /= 1e3
	}
	r.Volume = chem.Volume(v)
}

// part reads one reagent with its amount; nil where it only says a pH.
func (r *Reading) part(text string, final chem.Volume) (*Ingredient, error) {
	x := &Ingredient{Text: text}
	body := text
	if m := phWords.FindStringSubmatch(body); m != nil {
		if math.IsNaN(r.PH) {
			r.PH = number(m[1])
		}
		body = phWords.ReplaceAllString(body, " ")
		if t := tempWords.FindStringSubmatch(body); t != nil {
			r.Temp = number(t[1])
			body = tempWords.ReplaceAllString(body, " ")
		}
		if w := withWords.FindStringSubmatch(body); w != nil {
			r.Titrant = w[1]
			body = withWords.ReplaceAllString(body, " ")
		}
	}
	name, got, err := quantities(body)
	if err != nil {
		return nil, err
	}
	if name == "" || len(got) == 0 {
		return nil, &fieldError{what: "it needs a reagent with its amount", hint: `as in "Tris 6.06 g", "NaCl 100 mM", "glycerol 10 %" or "HCl 1 M 6.2 mL"`}
	}
	x.Name = name
	name = r.meaning(name, x)
	return x, x.measure(name, got, final)
}

// meaning is the reagent that a name stands for: beside a pH "Tris-HCl" is Tris.
func (r *Reading) meaning(name string, x *Ingredient) string {
	if !math.IsNaN(r.PH) {
		for _, n := range []string{name, strings.TrimSuffix(name, " buffer")} {
			if reagent, titrant, ok := table.Brought(n); ok {
				if r.Titrant == "" {
					r.Titrant = titrant
				}
				x.Taken = fmt.Sprintf("%s, brought to its pH with %s", reagent, titrant)
				r.Notes = append(r.Notes, fmt.Sprintf("%q is taken as %s", name, x.Taken))
				return reagent
			}
		}
	}
	name = strings.TrimSuffix(name, " buffer")
	if jar, ok := table.Taken(name); ok {
		x.Taken = jar
		r.Notes = append(r.Notes, fmt.Sprintf("%q is taken as %s", name, jar))
	}
	return name
}

// measure turns quantities into an amount.
func (x *Ingredient) measure(name string, got map[kind]float64, final chem.Volume) error {
	has := func(k ...kind) bool {
		if len(got) != len(k) {
			return false
		}
		for _, k := range k {
			if _, ok := got[k]; !ok {
				return false
			}
		}
		return true
	}
	var err error
	byMass := func(grams float64) error {
		x.Reagent, x.Amount, err = table.FromMass(name, chem.Mass(grams), 1)
		return err
	}
	switch {
	case has(ofMass):
		return byMass(got[ofMass])
	case has(ofMassConc):
		return byMass(got[ofMassConc] * final.Litres())
	case has(ofWeightShare):
		x.Share = fmt.Sprintf("%s %% w/v", digits(100*got[ofWeightShare], 4))
		return byMass(1e3 * got[ofWeightShare] * final.Litres())
	}
	if x.Reagent, err = table.ByAmount(name); err != nil {
		return err
	}
	switch {
	case has(ofVolumeShare):
		x.Share = fmt.Sprintf("%s %% v/v", digits(100*got[ofVolumeShare], 4))
		return x.pour(chem.Volume(got[ofVolumeShare]) * final)
	case has(ofShare):
		if x.Reagent.Form == "liquid" {
			x.Share = fmt.Sprintf("%s %% v/v", digits(100*got[ofShare], 4))
			return x.pour(chem.Volume(got[ofShare]) * final)
		}
		x.Share = fmt.Sprintf("%s %% w/v", digits(100*got[ofShare], 4))
		return byMass(1e3 * got[ofShare] * final.Litres())
	case has(ofVolume):
		return x.pour(chem.Volume(got[ofVolume]))
	}
	if !x.Reagent.Definite() {
		return &fieldError{what: x.Reagent.Name + " is a mixture without a molar mass", hint: "give it in g, in % w/v or in % v/v"}
	}
	switch {
	case has(ofAmount):
		x.Amount = chem.Amount(got[ofAmount])
	case has(ofStrength):
		x.Amount = chem.Molarity(got[ofStrength]).In(final)
	case has(ofStrength, ofVolume):
		x.Amount = chem.Molarity(got[ofStrength]).In(chem.Volume(got[ofVolume]))
	case has(ofAmount, ofMass), has(ofStrength, ofMass), has(ofMass, ofVolume), has(ofShare, ofVolume):
		return &fieldError{what: "the amount is given in two ways", hint: `give one, as in "Tris 6.06 g", "NaCl 100 mM" or "HCl 1 M 6.2 mL"`}
	default:
		return &fieldError{what: "the amount is not understood", hint: `give it as in "Tris 6.06 g", "NaCl 100 mM", "glycerol 10 %" or "HCl 1 M 6.2 mL"`}
	}
	return nil
}

// pour measures a liquid by its volume.
func (x *Ingredient) pour(v chem.Volume) error {
	r := x.Reagent
	if r.Form != "liquid" || len(r.Stocks) == 0 {
		if r.Form == "liquid" {
			return &fieldError{what: "the density of " + r.Name + " is not known here", hint: "give it in g or in % w/v"}
		}
		return &fieldError{what: fmt.Sprintf("a volume of what strength? %s is not a liquid with a single density", r.Name), hint: `write the strength beside the volume, as in "HCl 1 M 6.2 mL"`}
	}
	x.Amount = r.Stocks[0].Molar.In(v)
	return nil
}
