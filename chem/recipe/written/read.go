// Package written reads recipes as people write them: "50 mM Tris-HCl pH 8.0, 150 mM NaCl".
// What it is not sure of it asks, and what it took for granted it says.
package written

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/written/habit"
	"example.org/halfdrop/chem/recipe/written/quantity"
	"example.org/halfdrop/chem/table"
)

// Part is a part of a recipe as somebody wrote it.
type Part struct {
	buffer.Ingredient
	Text     string // as written
	Taken    string // which jar was taken for a short name; "" where the name says it
	Stock    bool   // it came in a stock with a pH of its own
	Brings   bool   // it brought that stock there
	conc     bool   // it is said to be concentrated
	brought  string // the name as written, where a reagent and a titrant stand for it
	other    string // the recipe that it may mean as well, in words; "" for none
	titrates bool   // and it was that which named the titrant of the whole
}

// Reading is a recipe as somebody wrote it.
type Reading struct {
	Parts    []Part
	PH       float64     // it is to have; NaN where none is said
	Temp     float64     // °C at which; NaN where none is said
	Titrant  string      // what brings it there: "HCl"; "" where nothing is said
	Guessed  bool        // the titrant is what is usual for the salt that is named
	Implied  bool        // it is, and the name does not say it: "sodium phosphate"
	Volume   chem.Volume // it is made up to; 0 where nothing is said
	Loose    bool        // Volume is only that in which it is dissolved, for want of another
	Times    float64     // how many times stronger than in use its heading says that it is, "10x PBS"; 0 where nothing is said
	Amounts  bool        // some part is an amount, and not one per volume
	others   []float64   // pH it is to have as well
	Poured   chem.Volume // what is poured, all together, where nothing is weighed
	Notes    []string    // how it was understood
	Gas      float64     // share of carbon dioxide in the gas that it is kept under, 0 to 1; 0 for none
	Aldehyde bool        // an aldehyde is to be in it, which is left out of account
	Apart    []string    // what is left out of account, as written, with why; it is in Notes too
	water    chem.Volume // that is said without saying whether it is made up to it
	title    string      // what the heading names to bring it to its pH
	beside   chem.Volume // of what is left out of account
	digest   string      // a part that buffers and cannot be computed
}

// Remarks are the notes on how it was read that no sheet of it shows by itself, as it does
// which jar was taken and what was left out.
func (r *Reading) Remarks() []string {
	return slices.DeleteFunc(slices.Clone(r.Notes), func(n string) bool {
		return slices.ContainsFunc(r.Parts, func(p Part) bool { return p.Taken != "" && strings.HasSuffix(n, " is taken as "+p.Taken) }) ||
			strings.Contains(n, "is left out of account")
	})
}

// Ingredients are what goes in, without what brought a stock to its pH: a sheet is titrated
// as a whole.
func (r *Reading) Ingredients() (out []buffer.Ingredient) {
	for _, p := range r.Parts {
		if !p.Brings {
			out = append(out, p.Ingredient)
		}
	}
	return out
}

// separators set the parts of a recipe apart.
var separators = regexp.MustCompile(`;|\n|•|, | \+ | //? |,\s*$|\s+(?:and|plus)\s+`)

// Read takes a recipe apart. Concentrations count for a final volume, unless
// the recipe says what it is made up to. The error is of type Problems.
//
// It reads what people write: "50 mM Tris-HCl pH 8.0", "NaCl 8 g", "HCl 1 M 40
// mL", "10 % glycerol", "0.1 % (w/v) SDS", "EDTA 0.5 M 2 mL", "adjust to pH 7.4
// with NaOH", "water to 1 L".
func Read(text string, final chem.Volume) (*Reading, error) { return read(text, final, false) }

// ReadMadeUp is Read of what is made up to the final volume, whatever it was
// dissolved in before: "Tris 12.1 g in 80 mL".
func ReadMadeUp(text string, final chem.Volume) (*Reading, error) { return read(text, final, true) }

func read(text string, final chem.Volume, madeUp bool) (*Reading, error) {
	r := &Reading{PH: math.NaN(), Temp: math.NaN()}
	first, _, lines := strings.Cut(strings.TrimSpace(text), "\n")
	var bad recipe.Problems
	var parts []string
	var in []string // "in 800 mL"
	if err := habit.Several(text); err != nil {
		bad.Add("", recipe.Message(err), recipe.Hint(err))
		return nil, bad
	}
	text = r.headed(r.withoutLead(tidied(r.withoutWorking(r.withCommas(text)))))
	unit := ""
	if m := listInHeaded.FindStringSubmatch(text); m != nil && !isReagent(m[1]) && !listWords.MatchString(m[1]) {
		unit = m[2]
		text = nameComma.ReplaceAllString(m[1]+":"+text[len(m[0]):], "$1 $2$3")
	} else if m := listIn.FindStringSubmatch(text); m != nil {
		unit = m[1]
		text = nameComma.ReplaceAllString(listIn.ReplaceAllString(text, " "), "$1 $2$3")
	}
	text = r.byParts(text, final)
	for _, p := range r.ofOneUnit(eachOf(ofStocks(withVolumes(split(r.withoutHeading(text))))), unit) {
		p = r.once(r.barePH(withUnit(p, unit)))
		if m := tempWords.FindStringSubmatch(p); m != nil && m[0] == p {
			r.Temp = quantity.Number(m[1])
			continue
		}
		if p == "" || asides.MatchString(p) || r.pourWater(p) || r.gas(p) || r.instruction(p) || r.leaveOut(p) {
			continue
		}
		if m := inWords.FindStringSubmatch(p); m != nil {
			if in != nil && !madeUp {
				bad.Add("", fmt.Sprintf("%q: in a volume of its own, as another part is", p), "give the volume of the whole at the end, or each as a stock: its strength with its volume")
			}
			in = m
			p = strings.TrimSpace(inWords.ReplaceAllString(p, ""))
			if p == "" || asides.MatchString(p) || r.instruction(p) {
				continue
			}
		}
		parts = append(parts, p)
	}
	if r.Volume == 0 && in != nil && !madeUp {
		r.volume(in[1], in[2])
		r.Loose = true
	}
	if err := r.settleWater(parts); err != nil {
		bad.Add("", recipe.Message(err), recipe.Hint(err))
	}
	r.allPoured(text, parts, madeUp)
	if r.Volume > 0 {
		final = r.Volume
	}
	r.pHBeside(parts, final)
	for _, p := range parts {
		if r.bottle(p) {
			continue
		}
		x, err := r.part(p, final)
		if err != nil {
			hint := recipe.Hint(err)
			if err == error(noAmount) && lines && strings.TrimSpace(first) == p {
				hint += "; if it is a heading, put a colon behind it"
			}
			bad.Add("", fmt.Sprintf("%q: %s", p, recipe.Message(err)), hint)
			continue
		}
		if x[0].Amount == 0 {
			r.Notes = append(r.Notes, fmt.Sprintf("%q is none of it: left out", p))
			continue
		}
		r.Parts = append(r.Parts, x...)
	}
	if len(bad) == 0 {
		r.literally()
		r.twiceNamed()
		if err := r.twoStocks(final); err != nil {
			bad.Add("", recipe.Message(err), recipe.Hint(err))
		}
		if err := r.settleDigest(final); err != nil {
			bad.Add("", recipe.Message(err), recipe.Hint(err))
		}
		if r.Titrant == "" && !r.ItsOwn() {
			r.Titrant = r.title
		}
		if r.Aldehyde {
			r.Notes = append(r.Notes, buffer.Condensing(r.reagents())...)
		}
	}
	if len(r.others) > 0 {
		bad.Add("", fmt.Sprintf("it is to have pH %s and pH %s", chem.Digits(r.PH, 3), chem.Digits(r.others[0], 3)), "give one; a stock with a pH of its own has its strength and its volume beside it")
	}
	if len(bad) == 0 && len(r.Parts) == 0 && r.Gas > 0 {
		_, err := table.ByAmount("CO2")
		bad.Add("", recipe.Message(err), recipe.Hint(err))
	}
	if len(bad) == 0 && len(r.Parts) == 0 && len(r.Apart) == 0 {
		bad.Add("", "no reagent in it", `write parts separated by semicolons, as in "Tris 6.06 g; HCl 29 mmol" or "50 mM Tris; 150 mM NaCl"`)
	}
	if len(bad) > 0 {
		return nil, bad
	}
	return r, nil
}

// sameAmount is how near two amounts of a reagent are, as shares, to be one: what is
// measured, and the strength that it gives.
const sameAmount = 0.02

// twiceNamed notes what is named twice, once by its strength: a slip as often as not. It leaves
// out a strength that what is measured gives: "5 M NaCl 30 mL, to 1 L; final 150 mM NaCl".
func (r *Reading) twiceNamed() {
	strength := func(x Part) bool {
		_, got, err := quantity.In(x.Text)
		return !x.Brings && !x.Stock && err == nil && len(got) == 1 && !weighs(got)
	}
	all := slices.Clone(r.Parts)
	r.Parts = slices.DeleteFunc(r.Parts, func(x Part) bool {
		again := strength(x) && slices.ContainsFunc(all, func(y Part) bool {
			return !y.Brings && !strength(y) && y.Reagent.FullName() == x.Reagent.FullName() && math.Abs(float64(y.Amount/x.Amount)-1) < sameAmount
		})
		if again {
			r.Notes = append(r.Notes, fmt.Sprintf("%q is what is measured of it: it counts once", x.Text))
		}
		return again
	})
	for i, x := range r.Parts {
		same := func(y Part) bool { return y.Reagent.FullName() == x.Reagent.FullName() && !y.Brings }
		if first := slices.IndexFunc(r.Parts, same); first < i && same(x) && (strength(x) || strength(r.Parts[first])) {
			r.Notes = append(r.Notes, fmt.Sprintf("%s is named twice: both count", x.Reagent.Name))
		}
	}
}

// noAmount is what is wrong with a part that says nothing of how much.
var noAmount = &recipe.FieldError{What: "it needs a reagent with its amount", Hint: `as in "Tris 6.06 g", "NaCl 100 mM", "glycerol 10 %" or "HCl 1 M 6.2 mL"`}

// part reads one reagent with its amount, and beside a stock what brought it to
// its pH.
func (r *Reading) part(text string, final chem.Volume) ([]Part, error) {
	x := Part{Text: text}
	text, err := quantity.OfColumns(text, final, r.Volume > 0)
	if err != nil {
		return nil, err
	}
	body := text
	if m := phWords.FindStringSubmatch(body); m != nil {
		body = phWords.ReplaceAllString(body, " ")
		if isStock(body) {
			return readStock(text, tempWords.ReplaceAllString(body, " "), quantity.Number(m[1]), r)
		}
		if ph := quantity.Number(m[1]); ph != r.PH && !math.IsNaN(r.PH) && ofOneChelator(body) { // "MOPS (pH 7.0), EDTA (pH 8.0)"
			amounts, poured := r.Amounts, r.Poured // it is no amount of its own
			out, err := readStock(text, fmt.Sprintf("%s %g mL", body, final.Millilitres()), ph, r)
			r.Amounts, r.Poured = amounts, poured
			return out, err
		}
		for _, m := range phWords.FindAllStringSubmatch(text, -1) {
			r.says(quantity.Number(m[1]))
		}
		if t := tempWords.FindStringSubmatch(body); t != nil {
			r.Temp = quantity.Number(t[1])
			body = tempWords.ReplaceAllString(body, " ")
		}
		if w := withWords.FindStringSubmatch(body); w != nil {
			r.Titrant = w[1]
			body = withWords.ReplaceAllString(body, " ")
		}
	}
	if m := dilution.FindString(body); m != "" {
		return nil, &recipe.FieldError{What: fmt.Sprintf("%q is a dilution", m), Hint: "give the strength in the finished solution, or the strength of the stock with its volume"}
	}
	name, got, err := quantity.In(body)
	if err != nil {
		return nil, err
	}
	if isStock(body) && got[quantity.OfStrength] >= chelatorStock && chelator(name) {
		return readStock(text, body, chelatorPH, r)
	}
	if m, called := buffer.MixtureIn(name); called != "" && (len(got) == 0 || strings.Contains(name, " in ") || timesWords.ReplaceAllString(name, "") == called) {
		return nil, &recipe.FieldError{What: called + " is a mixture, and laboratories make it in different ways", Hint: fmt.Sprintf("write its parts, as in %q", m.Parts)}
	}
	figure := ""
	if m := figureFirst.FindStringSubmatch(text); m != nil && isReagent(m[2]) {
		figure = m[1]
	} else if m := figureLast.FindStringSubmatch(text); m != nil && isReagent(m[1]) {
		figure = m[2]
	}
	if figure != "" && len(got) == 0 {
		return nil, &recipe.FieldError{What: figure + " of what? The amount has no unit", Hint: `write the unit beside it, or "in mM:" before the whole list`}
	}
	if m := bareVolume.FindStringSubmatch(text); m != nil && len(got) == 0 {
		return nil, &recipe.FieldError{What: fmt.Sprintf("made up to %s of what?", m[1]), Hint: fmt.Sprintf(`write "to %s mL" or "to %s L"`, m[1], m[1])}
	}
	if m := rangeOfAmount.FindStringSubmatch(text); m != nil && len(got) == 0 {
		return nil, &recipe.FieldError{What: fmt.Sprintf("%s or %s?", m[1], m[2]), Hint: "a recipe has one amount of each: give that alone"}
	}
	if err := strangeAmount(phWords.ReplaceAllString(text, " ")); err != nil && len(got) == 0 {
		return nil, err
	}
	if name == "" || len(got) == 0 {
		return nil, noAmount
	}
	name = r.withoutBrackets(name)
	x.Name = name
	if err := r.withoutItsPH(name, got); err != nil {
		return nil, err
	}
	r.count(got)
	x.conc = concentratedWords.MatchString(body)
	name = r.meaning(name, got, &x)
	if err := x.measure(name, got, final, r); err != nil {
		return nil, err
	}
	return []Part{x}, nil
}
