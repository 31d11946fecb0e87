package table

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"example.org/halfdrop/chem/spelling"
)

// key is the form in which names are compared: lower case, subscripts as
// digits, Greek letters spelt out, and nothing but letters and digits left.
func key(name string) string {
	var b strings.Builder
	b.Grow(len(name))
	name = crossed.ReplaceAllString(name, " $1") // "Na2HPO4 x 7 H2O"
	for _, r := range name {
		switch {
		case r >= '₀' && r <= '₉':
			b.WriteRune('0' + r - '₀')
		case r == 'α' || r == 'Α':
			b.WriteString("alpha")
		case r == 'β' || r == 'Β':
			b.WriteString("beta")
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			b.WriteRune(unicode.ToLower(r))
		}
	}
	return b.String()
}

// crossed is a cross before the water of a crystal.
var crossed = regexp.MustCompile(`\s*[x×]\s*([0-9]+\s*H2O|H2O)`)

// nearest are up to three known names within a third of the letters of name, else
// up to five that hold it: "phosphate".
func nearest(name string, known []string) []string {
	type hit struct {
		name string
		d    int
	}
	k := []rune(key(name))
	if len(k) == 0 {
		return nil
	}
	var hits []hit
	for _, n := range known {
		d := spelling.Slips(k, []rune(key(n)))
		if d <= max(1, len(k)/3) && !slices.ContainsFunc(hits, func(h hit) bool { return h.name == n }) {
			hits = append(hits, hit{n, d})
		}
	}
	slices.SortStableFunc(hits, func(a, b hit) int { return a.d - b.d })
	if len(hits) == 0 && len(k) > 3 {
		return holding(string(k), known)
	}
	out := make([]string, 0, 3)
	for _, h := range hits[:min(3, len(hits))] {
		out = append(out, h.name)
	}
	return out
}

// holding are up to five names that a short one is part of, the shortest first.
func holding(k string, known []string) []string {
	var out []string
	seen := map[string]bool{}
	for _, n := range known {
		bare, _, _ := strings.Cut(n, " anhydrous")
		if strings.Contains(key(n), k) && !seen[bare] {
			seen[bare] = true
			out = append(out, bare)
		}
	}
	slices.SortStableFunc(out, func(a, b string) int { return len(a) - len(b) })
	return out[:min(5, len(out))]
}
