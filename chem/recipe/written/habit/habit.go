// Package habit takes habits of writing out of a recipe, those that mean nothing else than how
// they are read here: text in, text out, without knowledge of what a name stands for.
package habit

import (
	_ "embed"
	"errors"
	"regexp"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/csvrows"
)

// habitsCSV are ways to write a recipe as regular expressions, in the order in which they are
// replaced: habits in the whole of a text, spellings of units and lists before it is taken into
// parts. A comma between a letter and a figure is none of a name.
//
//go:embed data/habits.csv
var habitsCSV string

// habit is a row of it.
type habit struct {
	from *regexp.Regexp
	to   string
}

// ways are the habits by stage.
var ways = csvrows.Once(func() (map[string][]habit, error) { return read(habitsCSV) })

func read(text string) (map[string][]habit, error) {
	out := map[string][]habit{}
	err := csvrows.Each(text, 4, "recipes: habits", func(r []string) error {
		from, err := regexp.Compile(r[1])
		if err != nil {
			return err
		}
		if r[1] == "" || r[3] == "" || r[0] != "habit" && r[0] != "spelling" {
			return errors.New("needs a stage, an expression and what it is")
		}
		out[r[0]] = append(out[r[0]], habit{from, r[2]})
		return nil
	})
	return out, err
}

func replaced(stage, text string) string {
	for _, x := range ways()[stage] {
		text = x.from.ReplaceAllString(text, x.to)
	}
	return text
}

// Spelled is a text with units and lists as they are spelt here.
func Spelled(text string) string { return replaced("spelling", text) }

// Tidied is a recipe without habits of writing; powers of ten are "1.5e-3", strengths of old
// tables are in mM.
func Tidied(text string) string {
	text = powers.ReplaceAllStringFunc(text, func(s string) string {
		m := powers.FindStringSubmatch(s)
		if m[1] == "" {
			m[1] = "1"
		}
		return m[1] + "e" + raised.Replace(m[2]+m[3])
	})
	text = fractions.ReplaceAllStringFunc(text, func(s string) string {
		m := fractions.FindStringSubmatch(s)
		n, _ := strconv.Atoi(m[1] + m[2]) // one to four figures, and no zero before them
		return chem.Digits(1e3/float64(n), 4) + " mM"
	})
	return replaced("habit", text)
}

// powers are figures with a power of ten: "1.5 x 10^-3 M", "10⁻³ M".
var (
	powers = regexp.MustCompile(`(?:\b([0-9]+(?:[.,][0-9]+)?)\s*[xX×*·]\s*)?\b10(?:\s?(?:\^|\*\*)\s?([-−–+]?[0-9]{1,2})|([⁻⁺]?[⁰¹²³⁴⁵⁶⁷⁸⁹]{1,2}))`)
	raised = strings.NewReplacer("⁻", "-", "⁺", "", "−", "-", "–", "-", "⁰", "0", "¹", "1", "²", "2", "³", "3", "⁴", "4", "⁵", "5", "⁶", "6", "⁷", "7", "⁸", "8", "⁹", "9")
)

// fractions are strengths of old tables, "M/15" and "1/15 M".
var fractions = regexp.MustCompile(`\bM/([1-9][0-9]{0,3})\b|\b1/([1-9][0-9]{0,3})[ -]?(?:M|molar)\b`)
