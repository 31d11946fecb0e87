package typed

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"example.org/halfdrop/chem/recipe"
)

// Bottle reads what a person types of a bottle: reagent and strength, as
// "NaOH 0.1 M", and after commas the size of its drop, its name, the day it was opened
// and its dropper, as "KOH 0.5 M, 40 µL, bottle B7, opened 2026-11-20, dropper blue".
func Bottle(text string) (recipe.Titrant, error) {
	parts := strings.Split(text, ",")
	for len(parts) > 1 && strings.IndexAny(parts[1], "0123456789") == 0 { // a decimal comma
		parts = append([]string{parts[0] + "," + parts[1]}, parts[2:]...)
	}
	f := strings.Fields(parts[0])
	if n := len(f); n > 0 && (f[n-1] == "M" || f[n-1] == "mol/L") {
		f = f[:n-1]
	}
	n := len(f) - 1
	if n < 1 {
		return recipe.Titrant{}, errNoBottle
	}
	molar, err := number(strings.TrimSuffix(f[n], "M"))
	if err != nil {
		return recipe.Titrant{}, errNoBottle
	}
	t := recipe.Titrant{Reagent: strings.Join(f[:n], " "), Molar: &molar}
	t.Name = fmt.Sprintf("%s %g M", t.Reagent, molar)
	for _, p := range parts[1:] {
		if !detail(&t, strings.TrimSpace(p)) {
			return recipe.Titrant{}, errNoBottle
		}
	}
	return t, nil
}

// detail takes what is said of a bottle after a comma.
func detail(t *recipe.Titrant, text string) bool {
	word, rest, _ := strings.Cut(text, " ")
	rest = strings.TrimSpace(rest)
	switch {
	case word == "bottle" && rest != "":
		t.Bottle = rest
	case word == "dropper" && rest != "":
		t.Dropper = rest
	case word == "opened" && rest != "":
		t.Opened = rest
	default:
		for _, unit := range []string{"µL", "μL", "uL", "ul"} {
			text = strings.TrimSuffix(text, unit)
		}
		ul, err := number(strings.TrimSpace(text))
		if err != nil {
			return false
		}
		t.DropUL = &ul
	}
	return true
}

var errNoBottle = errors.New("give reagent and strength: NaOH 0.1 M; or KOH 0.5 M, 40 µL, bottle B7 for drops of 40 µL and a bottle of that name")

func number(text string) (float64, error) {
	return strconv.ParseFloat(strings.ReplaceAll(text, ",", "."), 64)
}
