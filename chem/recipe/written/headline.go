package written

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"example.org/halfdrop/chem/table"
)

// headed is a recipe whose heading, on a line of its own above the parts, has the colon
// that people leave out there: "Lysis buffer (1 L)\n50 mM Tris\n150 mM NaCl". A line that
// could be a part without its amount is none.
func headed(text string) string {
	first, rest, _ := strings.Cut(strings.TrimSpace(text), "\n")
	if strings.ContainsAny(first, ":;") || inWords.MatchString(first) || adjusting.MatchString(first) {
		return text
	}
	parts := split(rest)
	name := strings.Trim(volumeWords.ReplaceAllString(phWords.ReplaceAllString(strongerWords.ReplaceAllString(first, " "), " "), " "), " (),.")
	if name == "" || figureAlone.MatchString(name) || isReagent(name) || len(parts) < 2 || !begins(inBrackets.ReplaceAllString(parts[0], " ")) && !figureThenName(parts[0]) {
		return text
	}
	if m := mixtures.FindString(name); m != "" && !holdsOf(parts, usualParts(m)) { // "PBS", then "0.05 % Tween 20"
		return text
	}
	if _, _, brought := table.Brought(name); brought && !weighed(parts) {
		return text
	}
	return first + ": " + rest
}

// holdsOf reports whether parts name the reagent that a list of usual parts begins with.
func holdsOf(parts []string, usual string) bool {
	want, _, _ := quantities(split(usual)[0])
	return slices.ContainsFunc(parts, func(p string) bool {
		name, got, err := quantities(p)
		return err == nil && len(got) > 0 && strings.HasPrefix(name, want)
	})
}

var (
	// strongerWords are how many times stronger than in use a thing is: "10x PBS", "PBS (10×)",
	// "10-fold".
	strongerWords = regexp.MustCompile(`(?i)(?:\A|[\s(,])([0-9]{1,3}(?:\.[0-9])?)(?:\s?[xX×]|[ -]fold)(?:[\s),]|\z)`)
	inBrackets    = regexp.MustCompile(`\([^()]*\)`)
	figureAlone   = regexp.MustCompile(`(?:\A|[\s(])[0-9]`)
)

// heads notes a heading, with what it says of the strength.
func (r *Reading) heads(heading, how string) {
	heading = strings.TrimSpace(heading)
	r.Notes = append(r.Notes, fmt.Sprintf("%q is taken as a heading%s", heading, how))
	if m := strongerWords.FindStringSubmatch(heading); m != nil {
		r.Times = number(m[1])
	}
}
