package written

import (
	"fmt"
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

// split takes a text into its parts. "MnCl2 2 mM in Tris 50 mM" is two of them,
// "NaCl, 150 mM" is one.
func split(text string) []string {
	var out []string
	bare := false // the last is a name without an amount
	var parts []string
	for _, p := range separators.Split(habit.Spelled(text), -1) {
		parts = append(parts, madeUp(p)...)
	}
	for _, p := range parts {
		p = strings.TrimSpace(strings.TrimLeft(strings.TrimSpace(p), "-*– "))
		name, got, err := quantity.In(p)
		if bare && err == nil && name == "" && len(got) > 0 {
			out[len(out)-1] += " " + p
			bare = false
			continue
		}
		bare = err == nil && len(got) == 0 && isReagent(name)
		if i := strings.Index(p, " in "); i > 0 && (hasAmount(p[:i]) || len(inARow(p[:i])) > 1 || len(out) > 0 && isReagent(p[:i])) && hasAmount(p[i+4:]) && !inWords.MatchString(p) {
			out = append(append(out, inARow(p[:i])...), strings.TrimSpace(p[i+4:]))
			continue
		}
		out = append(out, inARow(p)...)
	}
	return out
}

func hasAmount(text string) bool {
	name, got, err := quantity.In(text)
	return err == nil && name != "" && len(got) > 0
}

// heading is a name before the parts: "10x TBS: Tris 24.2 g; NaCl 87.7 g", "Hanks' without
// Ca, Mg: NaCl 8 g", "Tris-buffered saline, 10x: Tris 24.2 g".
var heading = regexp.MustCompile(`^\s*([^:;,\n]*[A-Za-z](?:[^:;,\n]|[0-9],[0-9])*(?:\([^()\n]*\)\s*)?|[^:;\n0-9]*[A-Za-z][^:;\n0-9]*,\s*[0-9]+\s*[xX×]|[^:;\n0-9]*[A-Za-z][^:;\n0-9]*):\s+`)

// spacedHeading is one without a colon: "Gel filtration buffer 10 mM HEPES, 100 mM NaCl".
var spacedHeading = regexp.MustCompile(`(?i)^\s*(\pL[\pL -]*\s(?:buffer|solution|medium))\s+([0-9][0-9.]*\s*(?:[mµ]?M|%|g)\s+\pL.*)$`)

// labelled is a recipe behind its label: "P3 3.0 M potassium acetate, pH 5.5".
var labelled = regexp.MustCompile(`^\s*([A-Z]{1,5}[0-9]?)\s+([0-9][0-9.]*\s*(?:[mµ]?M|%|g)\s+\pL.*)$`)

// titledPH is a heading with a pH: "1 L of 0.1 M phosphate, pH 7: 5.38 g NaH2PO4·H2O".
var titledPH = regexp.MustCompile(`^\s*([^:;\n]*[A-Za-z][^:;\n]*,\s*pH\s*[0-9]+(?:\.[0-9]+)?):\s+`)

// weighed reports whether parts are reagents by their masses.
func weighed(parts []string) bool {
	return slices.ContainsFunc(parts, func(p string) bool {
		name, got, err := quantity.In(p)
		return err == nil && weighs(got) && isReagent(name)
	})
}

// forVolume is how much is made: "For 500 mL: …", "500 mL: …", "Make 1 L of …".
var forVolume = regexp.MustCompile(`(?i)^\s*(?:(?:for|to\s+make|make|prepare)\s+([0-9]+(?:[.,][0-9]+)?)\s*(mL|L|litres?|liters?)\s*(?:of\b|:)\s*|([0-9]+(?:[.,][0-9]+)?)\s*(mL|L|litres?|liters?)\s*:\s+)`)

// wrapped is a list in brackets after a name: "buffer A (20 mM HEPES, 1 mM DTT)".
var wrapped = regexp.MustCompile(`^\s*((?:[0-9.]+\s*[xX×]\s+)?[^(),;0-9]*[A-Za-z][^(),;]*)\((.*)\)\s*(?:[,;]?\s*(pH\b[^()]*))?\.?$`)

// volumeWords are a volume in a heading: "1 L 10x TBS", "TBS (500 mL)".
var volumeWords = regexp.MustCompile(`(?i)(?:^|[\s(])([0-9]+(?:[.,][0-9]+)?)\s*(mL|L|litres?|liters?)(?:[\s)]|$)`)

// withoutHeading is a recipe without the name that stands before it. "NaCl: 8 g"
// has none, "CTAB: 100 mL 1 M Tris" has.
func (r *Reading) withoutHeading(text string) string {
	if m := wrapped.FindStringSubmatch(text); m != nil && balanced(m[2]) && !isReagent(m[1]) && hasAmount(split(m[2])[0]) && len(split(m[2])) > 1 {
		if what, _, in := strings.Cut(m[1], " in "); in && named(what) { // "LiAc 0.1 M in TE (10 mM Tris, 1 mM EDTA)"
			return what + "; " + m[2] + "; " + m[3]
		}
		r.heads(m[1], "")
		if m[3] != "" {
			return m[2] + "; " + m[3]
		}
		return m[2]
	}
	if m := forVolume.FindStringSubmatch(text); m != nil && r.Volume == 0 {
		r.volume(m[1]+m[3], m[2]+m[4])
		return text[len(m[0]):]
	}
	m := heading.FindStringSubmatch(text)
	if t := titledPH.FindStringSubmatch(text); t != nil && (weighed(split(text[len(t[0]):])) || isStock(split(text[len(t[0]):])[0])) {
		m = t
	}
	if s := spacedHeading.FindStringSubmatch(text); m == nil && s != nil && !isReagent(s[1]) {
		if _, _, ok := table.Brought(s[1]); !ok && begins(split(s[2])[0]) {
			r.heads(s[1], "")
			return s[2]
		}
	}
	if s := labelled.FindStringSubmatch(text); m == nil && s != nil && !stands(s[1]) && !isApart(s[1]) && begins(split(s[2])[0]) {
		if _, mixture := buffer.MixtureIn(s[1]); mixture == "" {
			r.heads(s[1], "")
			return s[2]
		}
	}
	if m == nil || strings.EqualFold(strings.TrimSpace(m[1]), "pH") {
		return text
	}
	rest := text[len(m[0]):]
	if first := split(rest)[0]; !hasAmount(first) && !bareFigure(first) && !figureThenName(first) || isReagent(m[1]) && !named(first) || holds(m[1]) && !weighed(split(rest)) {
		return text
	}
	r.heads(m[1], ": what follows counts as it is written")
	r.titled(m[1])
	if parts := split(rest); left(m[1], parts) && !weighed(parts) {
		r.Notes = append(r.Notes, fmt.Sprintf("%q names a buffer, of which no part says how much: none is counted", strings.TrimSpace(m[1])))
	}
	if v := volumeWords.FindStringSubmatch(m[1]); v != nil && r.Volume == 0 {
		r.volume(v[1], v[2])
	}
	return rest
}

// begins reports whether a part is a reagent with its amount, known or brought to a pH.
func begins(part string) bool {
	name, got, err := quantity.In(part)
	name = strings.Trim(afterName.ReplaceAllString(name, ""), " ()")
	_, _, brought := table.Brought(name)
	return err == nil && len(got) > 0 && (brought || isReagent(name))
}

// afterName is a pH behind a name, with its word or without.
var afterName = regexp.MustCompile(`(?i)[\s(]+(?:pH\b.*|[0-9.]+)$`)

// named reports whether a part is a reagent with its amount, whatever stands before it.
func named(part string) bool {
	name, got, err := quantity.In(phWords.ReplaceAllString(part, " "))
	return err == nil && len(got) > 0 && isReagent(strings.Trim(name, " ()"))
}

// holds reports whether a heading with brackets names a reagent with its amount.
func holds(heading string) bool {
	before, inside, in := strings.Cut(heading, "(")
	return in && (named(heading) || slices.ContainsFunc(append(split(inside), before), named))
}

// balanced reports whether every bracket that closes in a text was opened in it.
func balanced(text string) bool {
	open := 0
	for _, c := range text {
		switch c {
		case '(':
			open++
		case ')':
			if open--; open < 0 {
				return false
			}
		}
	}
	return open == 0
}

// isReagent reports whether a name is on the list, one salt of it or several.
func isReagent(name string) bool { return table.Known(name) }

// weighs reports whether quantities are a mass, or a part of one.
func weighs(got map[quantity.Kind]float64) bool {
	return slices.ContainsFunc([]quantity.Kind{quantity.OfMass, quantity.OfMassConc, quantity.OfWeightShare, quantity.OfShare}, func(k quantity.Kind) bool { _, ok := got[k]; return ok })
}

// count notes what kind of quantity a part is given by.
func (r *Reading) count(got map[quantity.Kind]float64) {
	_, mass := got[quantity.OfMass]
	_, amount := got[quantity.OfAmount]
	v, volume := got[quantity.OfVolume]
	r.Amounts = r.Amounts || mass || amount || volume
	if volume {
		r.Poured += chem.Volume(v)
	}
}

// bareLiquid is a volume and nothing else.
var bareLiquid = regexp.MustCompile(`(?i)^\(?[0-9]+(?:[.,][0-9]+)?\s*(?:[mµu]?l|millilitres?|milliliters?)\)?$`)

// withVolumes gives a bare volume behind a strength to that, as the volume of a stock: "NaCl 5 M, 30 mL;
// Tris 1 M, 50 mL; water to 1 L". One alone in a recipe is what the whole is made up to.
func withVolumes(parts []string) []string {
	var at []int
	others := false
	for i, p := range parts {
		body := inWords.ReplaceAllString(p, "")
		others = others || body != p
		switch m := waterWords.FindStringSubmatch(p); {
		case i > 0 && bareLiquid.MatchString(body) && byStrength(parts[i-1]):
			at = append(at, i)
		case m != nil && m[2] != "", makeUp.MatchString(p):
			others = true
		}
	}
	if len(at) < 2 && !(others && len(at) == 1) {
		return parts
	}
	out := slices.Clone(parts)
	for _, i := range slices.Backward(at) {
		out[i-1] += " " + out[i]
		out = slices.Delete(out, i, i+1)
	}
	return out
}

// isStock reports whether a text gives a strength and a volume: what has a pH
// beside those has it in its bottle.
func isStock(text string) bool {
	_, ok := asStock(text)
	return ok
}

// asStock is the strength and the volume that a text gives, and nothing else.
func asStock(text string) (got map[quantity.Kind]float64, ok bool) {
	_, got, err := quantity.In(text)
	_, strength := got[quantity.OfStrength]
	_, volume := got[quantity.OfVolume]
	return got, err == nil && strength && volume && len(got) == 2
}

// Bottles are the solutions that it is made with, "5 M NaCl 30 mL", by their strength.
func (r *Reading) Bottles() (out []buffer.Bottle) {
	for _, p := range r.Parts {
		if got, ok := asStock(phWords.ReplaceAllString(p.Text, " ")); ok && !p.Brings && got[quantity.OfStrength] > 0 && got[quantity.OfVolume] > 0 {
			out = append(out, buffer.Bottle{Reagent: p.Reagent, Molar: chem.Molarity(got[quantity.OfStrength])})
		}
	}
	return out
}

// readStock reads "EDTA 0.5 M pH 8.0 2 mL": the reagent, and the acid or base
// that brought it there at room temperature.
func readStock(text, body string, ph float64, r *Reading) ([]Part, error) {
	own := ""
	if w := withWords.FindStringSubmatch(body); w != nil {
		own = w[1]
		body = withWords.ReplaceAllString(body, " ")
	}
	name, got, err := quantity.In(body)
	if err != nil {
		return nil, err
	}
	if name == "" {
		return nil, &recipe.FieldError{What: "a stock of what?", Hint: `as in "EDTA 0.5 M pH 8.0 2 mL"`}
	}
	x := Part{Ingredient: buffer.Ingredient{Name: name}, Text: text, Stock: true}
	r.count(got)
	inner := Reading{PH: ph, Titrant: own}
	name = inner.meaning(name, got, &x)
	if err := x.measure(name, got, chem.Litre, &inner); err != nil {
		return nil, err
	}
	r.Notes = append(r.Notes, inner.Notes...)
	d := buffer.Demand{PH: ph, Use: 25, Bench: 25, Volume: chem.Volume(got[quantity.OfVolume]), Times: 1, Acid: "HCl", Base: "NaOH"}
	if inner.Titrant != "" {
		d.Acid, d.Base = Either(inner.Titrant, d.Acid, d.Base)
	}
	acid, base, err := d.Strong()
	if err != nil {
		return nil, err
	}
	var f buffer.Finished
	if err := f.Titrate(&d, x.Reagent.Dissolved(x.Amount), acid, base); err != nil {
		return nil, &recipe.FieldError{What: fmt.Sprintf("no strong acid or base brings %s to pH %s", x.Reagent.Name, chem.Digits(ph, 3)), Hint: "write what is in the stock as parts of their own"}
	}
	with := acid
	if f.Base {
		with = base
	}
	r.Notes = append(r.Notes, fmt.Sprintf("%q is taken as a stock of pH %s: %s mmol of %s in it", strings.Join(strings.Fields(text), " "), chem.Digits(ph, 3), chem.Digits(f.Amount.Millimoles(), 3), with.Name))
	return []Part{x, {Ingredient: buffer.Ingredient{Name: with.Name, Reagent: with, Amount: f.Amount}, Text: text, Stock: true, Brings: true}}, nil
}

// Either puts a titrant in the place of the acid or of the base.
func Either(titrant, acid, base string) (string, string) {
	if t, err := table.ByAmount(titrant); err == nil && t.Alkaline() {
		return acid, titrant
	}
	return titrant, base
}
