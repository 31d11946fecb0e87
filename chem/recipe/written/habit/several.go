package habit

import (
	"fmt"
	"regexp"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/written/quantity"
)

var (
	rangeOfPH  = regexp.MustCompile(`(?i)\bpH\s*[=:]?\s*([0-9]+(?:\.[0-9]+)?)\s*(?:[-–—/]|to|or)\s*([0-9]+(?:\.[0-9]+)?)(\s*(?:[mµun]?[MN]\b|[mµun]?mol|%|[xX×]\b|[mµuk]?[gL]\b|m[lL]|°))?`)
	letteredBy = regexp.MustCompile(`(?i)(?:\A|[.;\n])\s*(?:buffer|solution)\s+([A-Z0-9])\s*[:=]`)
)

// Several is the question that a text asks which holds more than one recipe: a
// range of pH, or buffer A and buffer B.
func Several(text string) error {
	for _, m := range rangeOfPH.FindAllStringSubmatch(text, -1) {
		if m[3] == "" && quantity.Number(m[1]) <= 14 && quantity.Number(m[2]) <= 14 && m[1] != m[2] {
			return &recipe.FieldError{What: fmt.Sprintf("pH %s or pH %s?", m[1], m[2]), Hint: "a recipe has one pH: give that alone"}
		}
	}
	if list := letteredBy.FindAllStringSubmatch(text, -1); len(list) > 1 {
		return &recipe.FieldError{What: fmt.Sprintf("%d recipes in one: %s and %s", len(list), list[0][1], list[1][1]), Hint: "give one at a time"}
	}
	return nil
}

// Commas that can be nothing but decimal ones.
var (
	decimalComma = regexp.MustCompile(`[0-9],[0-9]{1,2}(?:[^0-9,]|\z)`)
	decimalPoint = regexp.MustCompile(`[0-9]\.[0-9]`)
	threeFigures = regexp.MustCompile(`([0-9]+),([0-9]{3})\b`)
)

// WithPoints is a text with a point in "6,057", where another comma can be nothing but a decimal one,
// and the first figure that was taken so; "" where none was.
func WithPoints(text string) (out, taken string) {
	if !decimalComma.MatchString(text) || decimalPoint.MatchString(text) || !threeFigures.MatchString(text) {
		return text, ""
	}
	return threeFigures.ReplaceAllString(text, "$1.$2"), threeFigures.FindString(text)
}
