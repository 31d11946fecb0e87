package written

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/written/quantity"
	"example.org/halfdrop/chem/table"
)

// headed is a recipe without the heading on a line of its own above the parts, which people
// write without a colon: "Lysis buffer (1 L)\n50 mM Tris\n150 mM NaCl". A line that could be a
// part without its amount is none. So it is with a comma behind what calls itself a buffer:
// "citrate buffer pH 5.0, 0.1 M citric acid 20.5 mL, …".
func (r *Reading) headed(text string) string {
	first, rest, _ := strings.Cut(strings.TrimSpace(text), "\n")
	if m := commaHeading.FindStringSubmatch(text); m != nil && !heading.MatchString(text) {
		first, rest = m[1], m[2]
	}
	if strings.ContainsAny(first, ":;") || inWords.MatchString(first) || adjusting.MatchString(aBuffer.ReplaceAllString(first, "")) {
		return text
	}
	parts := split(rest)
	name := strings.Trim(volumeWords.ReplaceAllString(phWords.ReplaceAllString(strongerWords.ReplaceAllString(first, " "), " "), " "), " (),.")
	starts := func(p string) bool { return begins(inBrackets.ReplaceAllString(p, " ")) || figureThenName(p) }
	if name == "" || figureAlone.MatchString(name) || len(parts) < 2 || !slices.ContainsFunc(parts, starts) {
		return text
	}
	if m, called := buffer.MixtureIn(name); called != "" && !holdsOf(parts, m.Parts) { // "PBS", then "0.05 % Tween 20"
		return text
	}
	if (stands(name) || left(name, parts)) && !(aBuffer.MatchString(name) && (weighed(parts) || isStock(parts[0]) || held(name, parts))) {
		return text
	}
	r.heads(first, ": what follows counts as it is written")
	r.titled(first)
	if v := volumeWords.FindStringSubmatch(first); v != nil {
		r.volume(v[1], v[2])
	}
	return rest
}

// stands reports whether a name is that of a reagent, or of what is brought to a pH.
func stands(name string) bool {
	short := strings.TrimSpace(aBuffer.ReplaceAllString(name, ""))
	return slices.ContainsFunc([]string{name, short}, func(n string) bool {
		_, _, brought := table.Brought(n)
		return brought || isReagent(n)
	})
}

// left reports whether a heading names a buffer that no part supplies: whoever wrote "HEPES
// wash" and then salts alone has left out how much of it.
func left(name string, parts []string) bool {
	named, with := buffers(name, parts)
	return with < named
}

// held reports whether it names one, and parts supply all that it names: "Phosphate buffer"
// above "Na2HPO4 10 mM".
func held(name string, parts []string) bool {
	named, with := buffers(name, parts)
	return named > 0 && with == named
}

// buffers is how many buffers a heading names, and how many of these a part supplies.
func buffers(name string, parts []string) (named, supplied int) {
	for _, w := range words.FindAllString(name, -1) {
		s := supplies(w)
		if s == "" {
			continue
		}
		named++
		if slices.ContainsFunc(parts, func(p string) bool {
			n, _, err := quantity.In(phWords.ReplaceAllString(p, " "))
			return err == nil && supplies(strings.Trim(n, " ()")) == s
		}) {
			supplied++
		}
	}
	return named, supplied
}

// supplies is the buffer that a name is of, or of what it is of; "" for none.
func supplies(name string) string {
	if s, err := table.System(strings.ToLower(name)); err == nil && table.KindOf(s.Name) == table.Buffer {
		return s.Name // "Phosphate", of which nobody weighs any
	}
	if reagent, _, ok := table.Brought(name); ok {
		name = reagent
	}
	r, err := table.ByAmount(name)
	if s, _, ok := r.Supplies(); err == nil && ok && table.KindOf(s.Name) == table.Buffer {
		return s.Name
	}
	return ""
}

// holdsOf reports whether parts name the reagent that a list of usual parts begins with.
func holdsOf(parts []string, usual string) bool {
	want, _, _ := quantity.In(split(usual)[0])
	return slices.ContainsFunc(parts, func(p string) bool {
		name, got, err := quantity.In(p)
		return err == nil && len(got) > 0 && strings.HasPrefix(name, want)
	})
}

var (
	// strongerWords are how many times stronger than in use a thing is: "10x PBS", "PBS (10×)",
	// "10-fold".
	strongerWords = regexp.MustCompile(`(?i)(?:\A|[\s(,])([0-9]{1,3}(?:\.[0-9])?)(?:\s?[xX×]|[ -]fold)(?:[\s),]|\z)`)
	commaHeading  = regexp.MustCompile(`(?is)\A\s*([^,;:\n]*\b(?:buffer|solution|medium|saline)\b[^,;:\n]*)[,;]\s+(.*)\z`)
	words         = regexp.MustCompile(`[\pL0-9]{3,}`)
	aBuffer       = regexp.MustCompile(`(?i)\b(?:buffer|solution|medium|saline)\b`)
	inBrackets    = regexp.MustCompile(`\([^()]*\)`)
	figureAlone   = regexp.MustCompile(`(?:\A|[\s(])[0-9]`)
)

// heads notes a heading, with what it says of the strength.
func (r *Reading) heads(heading, how string) {
	heading = strings.TrimSpace(heading)
	r.Notes = append(r.Notes, fmt.Sprintf("%q is taken as a heading%s", heading, how))
	if m := strongerWords.FindStringSubmatch(heading); m != nil {
		r.Times = quantity.Number(m[1])
	}
}
