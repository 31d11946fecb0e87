package buffer

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"example.org/halfdrop/chem/recipe"
)

// Mixture is what laboratories call by a short name, made in different ways.
type Mixture struct {
	Words   string   // its name in words, of any case; "" for none
	Letters []string // its names in letters
	Buffer  string   // that holds its pH; "" for what is no buffer with a rest
	Rest    string   // what is in it beside the buffer, in use
	Parts   string   // the whole as a recipe, to start from
}

// Mixtures are those that are known, by what many laboratories put into them; common
// practice, no source. Of DMEM it is the salts and the sugar.
var Mixtures = []Mixture{
	{"phosphate-buffered saline", []string{"PBS", "DPBS"}, "phosphate", "NaCl 137 mM; KCl 2.7 mM", "NaCl 137 mM; KCl 2.7 mM; Na2HPO4 10 mM; KH2PO4 1.8 mM"},
	{"", []string{"PBST", "DPBST"}, "phosphate", "NaCl 137 mM; KCl 2.7 mM; Tween 20 0.1 %", "NaCl 137 mM; KCl 2.7 mM; Na2HPO4 10 mM; KH2PO4 1.8 mM; Tween 20 0.1 %"},
	{"Tris-buffered saline", []string{"TBS"}, "Tris", "NaCl 150 mM", "Tris 50 mM; NaCl 150 mM; pH 7.6"},
	{"", []string{"TBST"}, "Tris", "NaCl 150 mM; Tween 20 0.1 %", "Tris 50 mM; NaCl 150 mM; Tween 20 0.1 %; pH 7.6"},
	{"HEPES-buffered saline", []string{"HBS"}, "HEPES", "NaCl 150 mM", "HEPES 20 mM; NaCl 150 mM; pH 7.4"},
	{"MES-buffered saline", []string{"MBS"}, "MES", "NaCl 150 mM", "MES 25 mM; NaCl 150 mM; pH 6.5"},
	{"", []string{"TE"}, "Tris", "EDTA 1 mM", "Tris 10 mM; EDTA 1 mM; pH 8.0"},
	{"", []string{"TAE"}, "Tris", "acetic acid 20 mM; EDTA 1 mM", "Tris 40 mM; acetic acid 20 mM; EDTA 1 mM"},
	{"", []string{"TBE"}, "Tris", "boric acid 89 mM; EDTA 2 mM", "Tris 89 mM; boric acid 89 mM; EDTA 2 mM"},
	{"", []string{"SSC"}, "citrate", "NaCl 150 mM", "NaCl 150 mM; trisodium citrate 15 mM; pH 7.0"},
	{"", []string{"SSPE"}, "phosphate", "NaCl 150 mM; EDTA 1 mM", "NaCl 150 mM; NaH2PO4 10 mM; EDTA 1 mM; pH 7.4"},
	{"", []string{"RIPA"}, "Tris", "NaCl 150 mM; Triton X-100 1 %; sodium deoxycholate 0.5 %; SDS 0.1 %", "Tris 50 mM; NaCl 150 mM; Triton X-100 1 %; sodium deoxycholate 0.5 %; SDS 0.1 %; pH 8.0"},
	{"", []string{"HBSS"}, "", "", "NaCl 137 mM; KCl 5.4 mM; NaHCO3 4.2 mM; Na2HPO4 0.34 mM; KH2PO4 0.44 mM; CaCl2 1.3 mM; MgSO4 0.8 mM; glucose 5.6 mM"},
	{"", []string{"LB"}, "", "", "NaCl 10 g; tryptone 10 g; yeast extract 5 g"},
	{"", []string{"DMEM"}, "", "", "NaCl 110 mM; KCl 5.3 mM; NaHCO3 44 mM; NaH2PO4 0.9 mM; CaCl2 1.8 mM; MgSO4 0.8 mM; glucose 25 mM"},
}

var (
	mixtureNames = mixturePattern()
	// inPlainWords are what stands before and behind a name without making it another:
	// "1x PBS", "TE buffer".
	inPlainWords = regexp.MustCompile(`(?i)\A\s*(?:[0-9]+(?:[.,][0-9]+)?\s*[x×]\s*)?(.*?)(?:\s+(?:buffer|solution))?\s*\z`)
	hyphens      = strings.NewReplacer("-", " ")
)

func mixturePattern() *regexp.Regexp {
	var letters, words []string
	for _, m := range Mixtures {
		letters = append(letters, m.Letters...)
		if first, rest, ok := strings.Cut(m.Words, "-"); ok {
			words = append(words, first+"[- ]"+strings.ReplaceAll(rest, " ", "[- ]"))
		}
	}
	slices.SortFunc(letters, func(a, b string) int { return cmp.Compare(len(b), len(a)) })
	return regexp.MustCompile(`\b(?:(?i:` + strings.Join(words, "|") + `)|` + strings.Join(letters, "|") + `)\b`)
}

// MixtureIn is the first mixture that a text names, in its letters or in words, and the
// name as it stands there; "" for none.
func MixtureIn(text string) (m Mixture, name string) {
	name = mixtureNames.FindString(text)
	m, _ = called(name)
	return m, name
}

// called is the mixture of a name, in any case.
func called(name string) (Mixture, bool) {
	for _, m := range Mixtures {
		same := func(n string) bool { return strings.EqualFold(n, name) }
		if slices.ContainsFunc(m.Letters, same) || m.Words != "" && strings.EqualFold(hyphens.Replace(m.Words), hyphens.Replace(name)) {
			return m, true
		}
	}
	return Mixture{}, false
}

// asMixture is the question that the name of a mixture asks; nil for another name.
func asMixture(name string) error {
	m, ok := called(inPlainWords.FindStringSubmatch(name)[1])
	switch {
	case !ok:
		return nil
	case m.Buffer == "":
		return &recipe.FieldError{What: name + " is a mixture, and no buffer by itself", Hint: fmt.Sprintf("its parts can be examined as a recipe: %q", m.Parts)}
	}
	return &recipe.FieldError{What: fmt.Sprintf("%s is a mixture: its buffer is %s", name, m.Buffer), Hint: fmt.Sprintf("name that, and what else is in it apart: %q", m.Rest)}
}
