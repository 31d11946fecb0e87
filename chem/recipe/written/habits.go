package written

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"example.org/halfdrop/chem/recipe/written/habit"
	"example.org/halfdrop/chem/recipe/written/quantity"
	"example.org/halfdrop/chem/table"
)

// tidied is a recipe without habits of writing.
func tidied(text string) string {
	text = apartFrom(habit.Tidied(text))
	text = byName.ReplaceAllStringFunc(text, func(s string) string {
		m := byName.FindStringSubmatch(s)
		list := listed.Split(m[2], -1)
		for _, n := range list {
			if !isReagent(n) {
				return remark(s, m[1], m[2])
			}
		}
		if i := slices.IndexFunc(list, strongest); i >= 0 {
			return m[1] + " with " + list[i]
		}
		return m[1] + " with " + list[0]
	})
	text = aside.ReplaceAllStringFunc(text, func(s string) string { return strings.ReplaceAll(s, ",", "") })
	return colons.ReplaceAllStringFunc(text, func(s string) string {
		m := colons.FindStringSubmatch(s)
		if isReagent(m[1]) || strings.EqualFold(m[1], "pH") {
			return m[1] + " " + m[2]
		}
		return s
	})
}

// with is what is in it besides, or what brings it to its pH.
var (
	with   = regexp.MustCompile(`(?i)[,;]?\s+(?:with|mit|avec|plus)\s+([0-9]+(?:[.,][0-9]+)?\s*(?:[mµun]?M|[mµ]?mol/L|%(?:\s*\([wv]/v\))?|[mµ]?g(?:/m?L)?))\s+(\pL[\pL0-9-]*(?:\s+\pL[\pL0-9-]*){0,2})`)
	brings = regexp.MustCompile(`(?i)(?:pH\s*[=:]?\s*[0-9.,]+|\b(?:adjust|titrat|brought|bring|set|ajust|einstell)\pL*)\s*\(?\s*\z`)
)

// apartFrom sets apart what is in it besides: "20 mM Tris pH 8 with 150 mM NaCl". An acid or
// base behind a pH is what brings it there, and stays.
func apartFrom(text string) string {
	var b strings.Builder
	at := 0
	for _, m := range with.FindAllStringSubmatchIndex(text, -1) {
		words, name := strings.Fields(text[m[4]:m[5]]), ""
		for n := len(words); n > 0 && name == ""; n-- {
			if s := strings.Join(words[:n], " "); isReagent(s) {
				name = s
			}
		}
		if strongest(name) {
			continue
		}
		if list, err := table.Find(name); err == nil && list[0].Spectators() == 0 && brings.MatchString(text[:m[0]]) {
			if _, _, ok := list[0].Supplies(); ok {
				continue
			}
		}
		b.WriteString(text[at:m[0]] + "; " + text[m[2]:m[3]] + " ")
		at = m[4]
	}
	return b.String() + text[at:]
}

// remark is a pH without what stands in brackets behind it, where no word of that is a reagent's:
// "pH 6.0 (EDC coupling)".
func remark(all, ph, inside string) string {
	list := strings.FieldsFunc(inside, func(c rune) bool { return strings.ContainsRune(" ,;/", c) })
	if slices.ContainsFunc(list, func(w string) bool {
		return isReagent(w) || strongest(w) || strings.EqualFold(w, "acid") || strings.EqualFold(w, "base") || strings.EqualFold(w, "hydroxide")
	}) {
		return all
	}
	return ph
}

// byName is a pH with what brings a solution there in brackets: "pH 3.0 (formic acid)".
var byName = regexp.MustCompile(`(?i)(\bpH\s*[=:]?\s*[0-9.,]*[0-9])\s*\(\s*(\pL[^()0-9]*)\)`)

// aside is what stands in brackets without a figure: "(monobasic, anhydrous)".
var aside = regexp.MustCompile(`\([^()0-9]*\)`)

// colons are between a reagent and its amount, without a space: "Tris:50mM".
var colons = regexp.MustCompile(`([A-Za-z][A-Za-z0-9-]*):([0-9])`)

// inARow are parts that only spaces set apart: "100 mM HEPES 200 mM NaCl" or
// "HEPES 100 mM NaCl 200 mM". What does not come out as reagents with an amount each
// stays together.
func inARow(p string) []string {
	at := quantity.Pattern.FindAllStringSubmatchIndex(p, -1)
	if _, _, err := quantity.In(p); err == nil || len(at) < 2 {
		return []string{p}
	}
	last := ""
	if m := inWords.FindStringIndex(p); m != nil { // "… in 1 L" belongs to all of it
		p, last = p[:m[0]], p[m[0]:]
		if at = quantity.Pattern.FindAllStringSubmatchIndex(p, -1); len(at) < 2 {
			return []string{p + last}
		}
	}
	first := strings.TrimSpace(p[:at[0][2]]) == ""
	var out []string
	from := 0
	for i, m := range at {
		cut := m[2] // before the figure
		if !first {
			cut = len(p)
			if i+1 < len(at) { // after the unit and a pH
				cut = m[1]
				if ph := phWords.FindStringIndex(p[cut:at[i+1][0]]); ph != nil {
					cut += ph[1]
				}
			}
		}
		if x := strings.Trim(p[from:cut], " -"); x != "" {
			out = append(out, x)
		}
		from = cut
	}
	if x := strings.Trim(p[from:], " -"); x != "" {
		out = append(out, x)
	}
	for _, x := range out {
		bare := phWords.ReplaceAllString(x, " ")
		if bare != x {
			bare = withWords.ReplaceAllString(bare, " ")
		}
		if !reagentWithAmount(bare) && !onlyPH.MatchString(x) {
			return []string{p + last}
		}
	}
	if last != "" {
		out = append(out, strings.TrimSpace(last))
	}
	return out
}

// reagentWithAmount reports whether a text is a name that is known and an amount.
func reagentWithAmount(text string) bool {
	name, got, err := quantity.In(text)
	if err != nil || len(got) == 0 {
		return false
	}
	_, _, salt := table.Brought(name)
	_, apart := table.Apart(name)
	return salt || apart || isReagent(name)
}

// twice is an amount in brackets beside a strength: "50 mM NaH2PO4 (6.90 g
// NaH2PO4·H2O)", and beside a pH how much it will take.
var twice = regexp.MustCompile(`^(.*\S)\s*\(([^()]*[0-9][^()]*)\)$`)

// once leaves it out, and says so.
func (r *Reading) once(p string) string {
	m := twice.FindStringSubmatch(p)
	if m == nil || phWords.MatchString(m[2]) {
		return p
	}
	_, inner, err := quantity.In(m[2])
	if err != nil || len(inner) == 0 {
		return p
	}
	_, outer, err := quantity.In(phWords.ReplaceAllString(m[1], " "))
	_, strength := outer[quantity.OfStrength]
	if err != nil || !(len(outer) == 1 && strength && hasAmount(m[1]) && weighs(inner)) && !(len(outer) == 0 && phWords.MatchString(m[1])) {
		return p
	}
	r.Notes = append(r.Notes, fmt.Sprintf("what stands in brackets is left to what stands before them: %q", p))
	return m[1]
}

// basicWords say how many protons a phosphate has lost, which its formula says too;
// formWords may say another jar than the name alone.
var (
	basicWords = regexp.MustCompile(`(?i)\b(?:mono|di|tri)basic\b`)
	formWords  = regexp.MustCompile(`(?i)acid|base|salt|sodium|potassium|hydr|HCl|\bNa|\bK`)
)

// bracketed is a name with a word in brackets behind it.
var bracketed = regexp.MustCompile(`^(.*\S)\s*\([^()]*\)$`)

// withoutBrackets is a name without a word in brackets that no table has.
func (r *Reading) withoutBrackets(name string) string {
	if isReagent(name) {
		return name
	}
	if s := basicWords.ReplaceAllString(name, ""); s != name && isReagent(s) {
		return s
	}
	m := bracketed.FindStringSubmatch(name)
	if m == nil || !isReagent(m[1]) || formWords.MatchString(name[len(m[1]):]) {
		return name
	}
	r.Notes = append(r.Notes, fmt.Sprintf("%q is taken as %s", name, m[1]))
	return m[1]
}
