package table

import (
	_ "embed"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"

	"example.org/halfdrop/chem/csvrows"
)

//go:embed data/names.csv
var namesCSV []byte

// nameKind says what becomes of a short name.
type nameKind string

const (
	question nameKind = "question" // several things are called so: it is asked
	taken    nameKind = "taken"    // one jar is meant as a rule: it is taken, and said
	brought  nameKind = "brought"  // beside a pH: a reagent, and what brings it there
	apart    nameKind = "apart"    // in no table, and in the amounts used it moves no pH
	digest   nameKind = "digest"   // in no table, and it buffers
)

// shortName is what people write, and what they mean by it.
type shortName struct {
	name    string
	kind    nameKind
	means   []string
	titrant string
	words   string
}

var shortNames = csvrows.Once(func() (map[string]shortName, error) { return readNames(namesCSV) })

func readNames(data []byte) (map[string]shortName, error) {
	out := map[string]shortName{}
	err := csvrows.Each(data, 6, "table: names", func(r []string) error {
		x := shortName{name: r[0], kind: nameKind(r[1]), means: strings.Split(r[2], "|"), titrant: r[3], words: r[4]}
		ok := x.kind == question || x.kind == taken || x.kind == apart || x.kind == digest || x.kind == brought && x.titrant != ""
		if !ok || r[0] == "" || r[2] == "" || r[4] == "" || r[5] == "" {
			return errors.New("needs a name, its kind, what it means, words and a source")
		}
		k := string(x.kind) + " " + key(x.name)
		if _, twice := out[k]; twice {
			return fmt.Errorf("%s given twice", x.name)
		}
		out[k] = x
		return nil
	})
	return out, err
}

func lookUp(kind nameKind, name string) (shortName, bool) {
	t := shortNames()
	x, ok := t[string(kind)+" "+key(name)]
	if !ok {
		x, ok = t[string(kind)+" "+fromGerman(name)]
	}
	if !ok {
		x, ok = t[string(kind)+" "+fromFrench(name)]
	}
	return x, ok
}

// asks is what has to be asked about a name that stands for several
// things, or nil.
func asks(name string) error {
	if x, ok := lookUp(question, name); ok {
		return &AmbiguousError{Name: name, Why: x.words, Candidates: x.means}
	}
	return nil
}

// Taken is the jar that is taken for a short name, and false where a name
// means what it says.
func Taken(name string) (reagent string, ok bool) {
	x, ok := lookUp(taken, name)
	if !ok {
		return "", false
	}
	return x.means[0], true
}

// Apart is what a name stands for that may be left out of account, and false where
// it may not: enzymes, dyes and the like, of which a buffer holds a dash.
func Apart(name string) (words string, ok bool) {
	x, ok := lookUp(apart, name)
	return x.words, ok
}

// Digest is what a name stands for that buffers by itself and cannot be computed, and
// false where it is no such thing: peptone, yeast extract.
func Digest(name string) (words string, ok bool) {
	x, ok := lookUp(digest, name)
	return x.words, ok
}

// Brought is the reagent and the acid or base that a buffer beside a pH is made
// of: "Tris-HCl" is Tris brought there with hydrochloric acid. False where a
// name means what it says.
func Brought(name string) (reagent, titrant string, ok bool) {
	if x, ok := lookUp(brought, name); ok {
		return x.means[0], x.titrant, true
	}
	if m := withBase.FindStringSubmatch(name); m != nil && Known(m[1]) {
		return m[1], m[2], true
	}
	if m := ofMetal.FindStringSubmatch(name); m != nil && !Known(name) && protonated(m[2], false) {
		return m[2], m[1] + "OH", true
	}
	if m := withTris.FindStringSubmatch(name); m != nil && !Known(name) && protonated(m[1], false) {
		return m[1], "Tris", true
	}
	if m := withMetal.FindStringSubmatch(name); m != nil && !Known(name) && Known(m[1]) {
		return m[1], m[2] + "OH", true
	}
	if m := withAcid.FindStringSubmatch(name); m != nil && !Known(name) && protonated(m[1], true) {
		return m[1], m[2], true
	}
	if m := ofAcid.FindStringSubmatch(name); m != nil && !Known(name) && protonated(m[1], true) {
		return m[1], acids[strings.ToLower(m[2][:1])+m[2][1:]], true
	}
	if m := strongFirst.FindStringSubmatch(name); m != nil && !Known(name) && Known(m[2]) {
		return m[2], m[1], true
	}
	for i, c := range name { // "sodium acetate-acetic acid", and "2-amino-2-methyl-1-propanol/its hydrochloride"
		if strings.ContainsRune("/-–", c) {
			if reagent, titrant, ok = ofTwoForms(name[:i], name[i+utf8.RuneLen(c):]); ok {
				return reagent, titrant, true
			}
		}
	}
	return "", "", false
}

// ofTwoForms is the form with more protons of two that a name joins, and what takes it to the
// other: "sodium carbonate/sodium hydrogen carbonate", "citric acid-sodium citrate".
func ofTwoForms(one, other string) (reagent, titrant string, ok bool) {
	one, other = strings.TrimSpace(one), strings.TrimSpace(other)
	a, errA := Find(one)
	b, errB := Find(other)
	for _, x := range []struct {
		found []Reagent
		err   error
		salt  string
	}{{a, errA, other}, {b, errB, one}} { // a salt that is called after the acid alone
		if salt, is := lookUp(brought, x.salt); is && x.err == nil && x.found[0].Name == salt.means[0] {
			return salt.means[0], salt.titrant, true
		}
	}
	if errA != nil || errB != nil {
		return "", "", false
	}
	acid, base := a[0], b[0]
	sa, _, okA := acid.Supplies()
	sb, _, okB := base.Supplies()
	if !okA || !okB || sa.Name != sb.Name || acid.SpectatorsEach() == base.SpectatorsEach() {
		return "", "", false
	}
	if acid.SpectatorsEach() > base.SpectatorsEach() {
		acid, base = base, acid
	}
	switch base.Cations() {
	case "Na+":
		return acid.Name, "NaOH", true
	case "K+":
		return acid.Name, "KOH", true
	case "":
		return base.Name, "HCl", acid.Spectators() < 0 && len(acid.Parts) == 2 && acid.Parts[1].Ion.Name == "Cl-"
	}
	return "", "", false
}

// withMetal is a reagent with the metal of that base: "HEPES-K".
var withMetal = regexp.MustCompile(`^(.*\S)[-/·](K|Na|Li)$`)

// ofMetal is it with the metal before it: "K-EGTA".
var ofMetal = regexp.MustCompile(`^(K|Na|Li)[- ](\S.*)$`)

// withTris is an acid with Tris that brings it to a pH: "HEPES-Tris".
var withTris = regexp.MustCompile(`^(.*\S)[-/·]Tris$`)

// withAcid is a base with the acid that it is brought to a pH with: "piperazine-HCl".
var withAcid = regexp.MustCompile(`^(.*\S)\s*[-/·]\s*(HCl)$`)

// ofAcid is a base with the anion of the acid that it is brought to a pH with: "histidine
// acetate", "piperazine-phosphate".
var ofAcid = regexp.MustCompile(`^(.*\S)\s*[-/· ]\s*([Aa]cetate|[Pp]hosphate|[Ss]ul(?:f|ph)ate|[Ff]ormate)$`)

// acids are those of the anions of ofAcid.
var acids = map[string]string{"acetate": "acetic acid", "phosphate": "phosphoric acid", "sulfate": "sulfuric acid", "sulphate": "sulfuric acid", "formate": "formic acid"}

// strongFirst is what a strong acid or base brings to a pH, behind it: "HCl-KCl".
var strongFirst = regexp.MustCompile(`^(HCl|NaOH|KOH)\s*[-/·]\s*(\S.*)$`)

// Aldehyde reports whether a name is that of one, which is left out of account.
func Aldehyde(name string) bool {
	x, ok := lookUp(apart, name)
	return ok && x.means[0] == anAldehyde
}

// anAldehyde is what the names of aldehydes mean in the table.
const anAldehyde = "an aldehyde without charge"

// protonated reports whether a name is that of an acid or base by itself, without a
// counter-ion: one that takes up a proton, or one that gives it.
func protonated(name string, takes bool) bool {
	if !Known(name) {
		return false
	}
	x, err := ByAmount(name)
	if err != nil || len(x.Parts) != 1 || x.Parts[0].System == nil {
		return false
	}
	s := x.Parts[0].System
	k := KindOf(s.Name)
	return (k == Buffer || k == Other) && (s.Charge > 0 || !takes)
}

// withBase is a reagent with the base that it is brought to a pH with: "EGTA/KOH".
var withBase = regexp.MustCompile(`^(.*\S)\s*[-/·]\s*(KOH|NaOH|LiOH)$`)
