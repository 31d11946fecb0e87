package written

import (
	"fmt"
	"regexp"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/written/habit"
	"example.org/halfdrop/chem/recipe/written/quantity"
)

// Sentences round a recipe, and amounts that are parts of the whole.

// leadIn is a sentence that leads up to a recipe: "The buffer contained 25 mM HEPES",
// "Cells were lysed in 50 mM Tris".
var leadIn = regexp.MustCompile(`(?is)\A\s*([^0-9;:,\n()]*(?:\([^()]*\)\s*)?\b(?:[a-z]+\s+)*?(?:contain(?:s|ed)|comprise[sd]?|consist(?:s|ed)\s+of|composed\s+of|(?:was|were|is|are)|prepared\s+(?:in|with|from)|[a-z]+(?:ed|ysed|yzed|own)\s+(?:in|into|with|against|on)|using|in))\s+(?:an?\s+)?([0-9].*)\z`)

// withoutLead is a recipe without the sentence that leads up to it. One that holds
// the name of a reagent stays: it may be part of what is in it.
func (r *Reading) withoutLead(text string) string {
	m := leadIn.FindStringSubmatch(text)
	if m == nil || !hasAmount(split(m[2])[0]) {
		return text
	}
	words := strings.Fields(m[1])
	if len(words) == 1 && strings.EqualFold(words[0], "in") {
		return text
	}
	for i := range words { // "sodium chloride" is two words
		for k := i + 1; k <= min(i+3, len(words)); k++ {
			if name := strings.Trim(strings.Join(words[i:k], " "), ".-()"); len(name) > 1 && (isReagent(name) || isApart(name)) {
				return text
			}
		}
	}
	r.Notes = append(r.Notes, fmt.Sprintf("%q is taken as what leads up to it", strings.TrimSpace(m[1])))
	if v := soMuchOf.FindStringSubmatch(m[2]); v != nil { // of the whole, and no stock
		return v[1]
	}
	return m[2]
}

// withCommas is a recipe with a point in "6,057", where another comma can be nothing but
// a decimal one, and says so.
func (r *Reading) withCommas(text string) string {
	out, taken := habit.WithPoints(text)
	if taken != "" {
		r.Notes = append(r.Notes, fmt.Sprintf("the comma in %q is taken as a decimal one, as in the others", taken))
	}
	return out
}

// working is how a strength was reached, in brackets: "1.5 M Tris-HCl, pH 8.8 (18.15 g Tris
// base in 100 ml)".
var working = regexp.MustCompile(`(?i)\s*\(\s*([0-9][0-9.,]*\s*m?g\s[^()]*\s(?:in|to|ad|per)\s[^()]*[0-9]\s*m?l[^()]*)\)`)

// withoutWorking leaves it out where the strength stands before it, and says so.
func (r *Reading) withoutWorking(text string) string {
	m := working.FindStringSubmatchIndex(text)
	if m == nil || !hasAmount(phWords.ReplaceAllString(text[strings.LastIndexAny(text[:m[0]], ";\n")+1:m[0]], " ")) {
		return text
	}
	r.Notes = append(r.Notes, fmt.Sprintf("what stands in brackets is left to what stands before them: %q", text[m[2]:m[3]]))
	return text[:m[0]] + text[m[1]:]
}

// soMuchOf is how much of a solution a sentence speaks of: "in 1 mL of 20 mM HEPES".
var soMuchOf = regexp.MustCompile(`(?is)^[0-9]+(?:[.,][0-9]+)?\s*(?:[mµu]?l|vol(?:ume)?s?)\s+(?:of\s+)?([0-9].*)$`)

// nameComma is a name with a comma before its figure, in a list that semicolons set
// apart: "NaCl, 145; KCl, 5".
var nameComma = regexp.MustCompile(`([A-Za-z0-9)])\s*,\s*([0-9]+(?:\.[0-9]+)?)\s*(;|\z)`)

// dilution is a stock by how far it is diluted, "1:400", of which the strength is that of
// the stock or that in the whole.
var dilution = regexp.MustCompile(`\b1\s*:\s*[0-9]+\b`)

var (
	volumeFirst = regexp.MustCompile(`(?i)^([0-9]+(?:[.,][0-9]+)?)\s*(?:vol(?:ume)?s?|parts?)\b\.?\s*(?:of\s+)?(\S.*)$`)
	volumeLast  = regexp.MustCompile(`(?i)^(\S.*?)\s+([0-9]+(?:[.,][0-9]+)?)\s*(?:vol(?:ume)?s?|parts?)\b\.?$`)
	justWater   = regexp.MustCompile(`(?i)^(?:(?:dd|di|mq|milli-?q|ultrapure|distilled|deionis?z?ed)\s*)*(?:H2O|water)$`)
)

// byParts is a recipe in which every part is so many volumes, with mL instead: "5 vol
// methanol, 1 vol acetic acid, 4 vol water". Where one part is no volume it is left as
// it is.
func (r *Reading) byParts(text string, final chem.Volume) string {
	type portion struct {
		name string
		n    float64
	}
	var list []portion
	total := 0.0
	for _, p := range split(text) {
		name, figure := "", ""
		if m := volumeFirst.FindStringSubmatch(p); m != nil {
			name, figure = m[2], m[1]
		} else if m := volumeLast.FindStringSubmatch(p); m != nil {
			name, figure = m[1], m[2]
		}
		n := quantity.Number(figure)
		if name == "" || !(n > 0) {
			return text
		}
		list, total = append(list, portion{strings.Trim(name, " ."), n}), total+n
	}
	if len(list) < 2 {
		return text
	}
	var out []string
	for _, p := range list {
		if !justWater.MatchString(p.name) {
			out = append(out, fmt.Sprintf("%s %s mL", p.name, chem.Digits(p.n/total*final.Millilitres(), 6)))
		}
	}
	r.Notes = append(r.Notes, fmt.Sprintf("parts by volume are taken as so much of %s mL, as if volumes added up", chem.Digits(final.Millilitres(), 4)))
	return strings.Join(out, "; ")
}
