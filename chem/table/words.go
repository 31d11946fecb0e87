package table

import (
	_ "embed"
	"errors"
	"slices"
	"strings"

	"example.org/halfdrop/chem/csvrows"
)

// wordsCSV are parts of German names, as keys, in the order in which they are looked for,
// the longer before what they hold; and whole French words, without their accents. The
// trade's names; common practice, no source.
//
//go:embed data/words.csv
var wordsCSV []byte

// dictionary is what names in other languages are in English.
type dictionary struct {
	german *strings.Replacer
	french map[string]string
}

var words = csvrows.Once(func() (*dictionary, error) { return readWords(wordsCSV) })

func readWords(data []byte) (*dictionary, error) {
	d := &dictionary{french: map[string]string{}}
	var list []string
	err := csvrows.Each(data, 3, "table: words", func(r []string) error {
		switch {
		case r[0] == "":
			return errors.New("no word")
		case r[1] == "fr":
			d.french[r[0]] = r[2]
			return nil
		case r[1] != "de":
			return errors.New("the language is de or fr")
		}
		// What is English already stays as it is: the whole word is found first.
		if r[2] != "" {
			list = append(list, r[2], r[2])
		}
		list = append(list, r[0], r[2])
		if plain := umlauts.Replace(r[0]); plain != r[0] {
			list = append(list, plain, r[2])
		}
		return nil
	})
	d.german = strings.NewReplacer(list...)
	return d, err
}

// umlauts are written without their dots on many keyboards, and so are accents.
var (
	umlauts = strings.NewReplacer("ä", "ae", "ö", "oe", "ü", "ue")
	accents = strings.NewReplacer("é", "e", "è", "e", "ê", "e", "ë", "e", "à", "a", "â", "a", "î", "i", "ï", "i", "ô", "o", "û", "u", "ç", "c", "’", "'")
)

// fromGerman is a name in English where it is a German one, as a key: that of
// "Natriumchlorid" is the key of sodium chloride. Any other comes back as its key.
func fromGerman(name string) string { return words().german.Replace(key(name)) }

// fromFrench is a name in English where it is a French one, as a key: what is said of a
// thing stands behind it, "chlorure de sodium", "acide citrique".
func fromFrench(name string) string {
	list := strings.Fields(strings.ReplaceAll(accents.Replace(strings.ToLower(name)), "d'", " "))
	list = slices.DeleteFunc(list, func(w string) bool { return w == "de" || w == "du" || w == "des" })
	for i, w := range list {
		if english, ok := words().french[w]; ok {
			list[i] = english
		} else if stem, ok := strings.CutSuffix(w, "ique"); ok {
			list[i] = stem + "ic"
		}
	}
	slices.Reverse(list)
	return key(strings.Join(list, " "))
}
