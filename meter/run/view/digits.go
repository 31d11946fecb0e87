package view

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
)

// manyDrops is how many drops are better spoken of in mL, too.
const manyDrops = 40

// Amount puts a dose into words: drops, and mL as well above 40 drops.
func Amount(drops float64, vol chem.Volume) string {
	switch {
	case drops <= 0:
		return scale(vol) + " mL"
	case drops == 1:
		return "1 drop"
	case drops == 0.5:
		return "half a drop"
	case drops > manyDrops:
		return fmt.Sprintf("%.0f drops (%s mL)", drops, Millilitres(vol))
	}
	return fmt.Sprintf("%g drops", drops)
}

// scale is a volume as it is set on the scale of a burette or a pipette: none of its digits
// is left out, as a step of 0.05 mL is 0.2 % of 25 mL.
func scale(v chem.Volume) string {
	ml := math.Round(1e3*v.Millilitres()) / 1e3
	text := strconv.FormatFloat(ml, 'f', -1, 64)
	if _, frac, _ := strings.Cut(text, "."); ml < 100 && len(frac) < 2 {
		text = fmt.Sprintf("%.2f", ml)
	}
	return text
}

// Millilitres is a volume in mL as it is spoken of: three figures, no unit.
func Millilitres(v chem.Volume) string {
	ml := v.Millilitres()
	switch {
	case ml >= 100:
		return fmt.Sprintf("%.0f", ml)
	case ml >= 10:
		return fmt.Sprintf("%.1f", ml)
	}
	return fmt.Sprintf("%.2f", ml)
}

func (v View) landing() string {
	n, a := v.LandingDigits(), v.Advice
	return fmt.Sprintf("%.*f (%.*f to %.*f)", n, a.After, n, a.Low, n, a.High)
}

// besideIt is on which side of the aim the reading ends, and by how much. Whether that was
// reached by passing it or by the wrong bottle is not said.
func (v View) besideIt() string {
	side := "below"
	if v.Settling.End > v.Advice.Aim {
		side = "above"
	}
	return fmt.Sprintf("%s the aim by %s", side, v.ph(math.Abs(v.Settling.End-v.Advice.Aim)))
}

// mostShare is the share of the way to the aim from which on a step is not called a small
// one, nor a safe one (choice): it goes most of the way.
const mostShare = 0.5

// gone is the share of the way from where the reading ends to the aim that an addition is
// expected to go: above 1 it leads past the aim.
func (v View) gone() float64 {
	from := v.Settling.End
	return (v.Advice.After - from) / (v.Advice.Aim - from)
}

// stepWords call a step what its numbers say it is, before where it lands.
func (v View) stepWords() string {
	switch share := v.gone(); {
	case share > 1 || share < 0:
		return ""
	case share > mostShare:
		return "most of the way: "
	}
	return "a safe step: "
}

// probeWords are the same of a step that is to tell several accounts apart.
func (v View) probeWords() string {
	switch share := v.gone(); {
	case share > 1 || share < 0:
		return ""
	case share > mostShare:
		return "most of the way, "
	}
	return "a small step first, "
}

// besideAim is on which side of the aim an addition is expected to land, and how far off.
func (v View) besideAim() string {
	a, side := v.Advice, "short of"
	if (a.Aim-a.After)*(a.Aim-v.Settling.End) < 0 {
		side = "past"
	}
	return fmt.Sprintf("%.*f %s", v.LandingDigits(), math.Abs(a.Aim-a.After), side)
}

// LandingDigits is how many digits after the point the pH of a landing has: the meter's,
// but no third one where what is not known of it is larger.
func (v View) LandingDigits() int {
	if v.Advice.High-v.Advice.Low > 0.03 {
		return 2
	}
	return min(max(v.Decimals, 2), 3)
}

// ph writes a pH with the digits of the meter, two at the least.
func (v View) ph(x float64) string { return fmt.Sprintf("%.*f", min(max(v.Decimals, 2), 3), x) }

// EndDigits is how many digits after the point the end of a reading has: those of the
// meter, but of a spread no more than two.
func (v View) EndDigits() int {
	n := min(max(v.Decimals, 2), 3)
	if n == 3 && v.Settling.SD >= 0.0995 {
		n = 2
	}
	return n
}

// end is where the reading will end, and endSpread its spread.
func (v View) end() string { return fmt.Sprintf("%.*f", v.EndDigits(), v.Settling.End) }

func (v View) endSpread() string {
	if v.EndDigits() < min(max(v.Decimals, 2), 3) {
		return fmt.Sprintf("%.*f", v.EndDigits(), v.Settling.SD)
	}
	return v.spread(v.Settling.SD)
}

// spread writes a standard deviation of a pH with the digits of the meter, or with one
// more where those would say nothing.
func (v View) spread(sd float64) string {
	n := min(max(v.Decimals, 2), 3)
	if sd < 0.5*math.Pow(10, -float64(n)) {
		n++
	}
	return fmt.Sprintf("%.*f", n, sd)
}

func short(x float64) string {
	return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.3f", x), "0"), ".")
}

func times(x float64) string {
	names := []string{"", "about", "twice", "three times", "four times", "five times"}
	if n := int(math.Round(x)); n >= 1 && n < len(names) {
		return names[n]
	}
	return chem.Digits(x, 2) + " times"
}

// percents is a chance in words.
func percents(p float64) string {
	switch {
	case p < 0.01:
		return "less than 1 %"
	case p > 0.99:
		return "more than 99 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}

// CoarseOf is the last digit of a display, as part of the tolerance, from which on it cannot
// tell inside from outside: it shows the half of it either way.
const CoarseOf = 1.5

// digit is the last digit of the display, pH.
func (v View) digit() float64 { return math.Pow10(-v.Decimals) }

// coarse reports whether the display cannot tell the tolerance.
func (v View) coarse() bool { return v.HasReading && v.digit() > CoarseOf*v.Tolerance }

// CoarseWords say that a display of so many decimals cannot tell a tolerance.
func CoarseWords(decimals int, tolerance float64) string {
	return fmt.Sprintf("a display of %.*f is coarse for ±%s: set the meter to another decimal, or ask for a wider tolerance", decimals, math.Pow10(-decimals), short(tolerance))
}
