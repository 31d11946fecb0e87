package widget

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
)

// luminance is the relative luminance of an sRGB colour (WCAG 2.2, definition of
// "relative luminance"; the threshold 0.04045 is that of IEC 61966-2-1).
func luminance(rgb [3]int) float64 {
	l := 0.0
	for i, part := range [3]float64{0.2126, 0.7152, 0.0722} {
		c := float64(rgb[i]) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		l += part * c
	}
	return l
}

// contrast is the contrast ratio of two colours (WCAG 2.2).
func contrast(a, b [3]int) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

func hex(s string) (rgb [3]int) {
	n, err := strconv.ParseUint(s[1:], 16, 32)
	if err != nil || len(s) != 7 {
		panic("colour " + s)
	}
	return [3]int{int(n >> 16), int(n >> 8 & 255), int(n & 255)}
}

// of256 is a colour of the 256: the cube of 6 and the greys of ECMA-48's common
// extension, with the levels that xterm has (256colres.h), from memory.
func of256(s string) [3]int {
	n, err := strconv.Atoi(s)
	if err != nil || n < 16 || n > 255 {
		panic("of 256 colours only the fixed ones are used, not " + s)
	}
	if n >= 232 {
		v := 8 + 10*(n-232)
		return [3]int{v, v, v}
	}
	level := [6]int{0, 95, 135, 175, 215, 255}
	n -= 16
	return [3]int{level[n/36], level[n/6%6], level[n%6]}
}

// The 16 colours of two common palettes, xterm's and the text mode's of VGA, from
// memory; every terminal may have others.
var palettes = map[string][16]string{
	"xterm": {"#000000", "#CD0000", "#00CD00", "#CDCD00", "#0000EE", "#CD00CD", "#00CDCD", "#E5E5E5",
		"#7F7F7F", "#FF0000", "#00FF00", "#FFFF00", "#5C5CFF", "#FF00FF", "#00FFFF", "#FFFFFF"},
	"VGA": {"#000000", "#AA0000", "#00AA00", "#AA5500", "#0000AA", "#AA00AA", "#00AAAA", "#AAAAAA",
		"#555555", "#FF5555", "#55FF55", "#FFFF55", "#5555FF", "#FF55FF", "#55FFFF", "#FFFFFF"},
}

// grounds are the backgrounds that the colours must read on.
var grounds = []struct {
	name, is string
	dark     bool
}{
	{"white", "#FFFFFF", false}, {"cream", "#FDF6E3", false},
	{"black", "#000000", true}, {"dark grey", "#2E2E2E", true},
}

const readable = 4.5 // WCAG 2.2, success criterion 1.4.3

// TestContrast: every colour reads on every ground, whatever the terminal can show.
func TestContrast(t *testing.T) {
	tones := map[string]*tone{"sky blue": &skyBlue, "green": &green, "vermillion": &vermillion, "purple": &purple,
		"yellow": &yellow, "silver": &silver, "grey": &grey}
	used, bold := map[*tone]bool{}, map[*tone]bool{}
	for _, s := range styles {
		used[s.tone] = true
		bold[s.tone] = bold[s.tone] || s.bold
	}
	assert.Len(t, tones, len(used)-1, "every tone is in the list, and one ink has none")
	for name, tn := range tones {
		for _, g := range grounds {
			c := tn.light
			if g.dark {
				c = tn.dark
			}
			seen := map[string][3]int{"true colour": hex(c.full), "256": of256(c.of256)}
			for p, of := range palettes {
				if n, err := strconv.Atoi(c.of16); err == nil {
					if seen["16 of "+p] = hex(of[n]); bold[tn] {
						seen["bold of "+p] = hex(of[n%8+8]) // many terminals make bold ones bright
					}
				}
			}
			line := fmt.Sprintf("%-10s on %-9s", name, g.name)
			for _, kind := range []string{"true colour", "256", "16 of xterm", "16 of VGA", "bold of xterm", "bold of VGA"} {
				rgb, ok := seen[kind]
				if !ok {
					continue // not used there: the text has the terminal's own colour, or is never bold
				}
				r := contrast(rgb, hex(g.is))
				line += fmt.Sprintf("  %s %4.1f", kind, r)
				assert.GreaterOrEqual(t, r, readable, "%s on %s, %s", name, g.name, kind)
			}
			t.Log(line)
		}
	}
}

// TestContrastFormula: the two values that the standard's text leaves no doubt of,
// and the grey that is commonly given as the lightest on white.
func TestContrastFormula(t *testing.T) {
	assert.InDelta(t, 21, contrast(hex("#000000"), hex("#FFFFFF")), 1e-9, "WCAG 2.2: ratios go from 1 to 21")
	assert.InDelta(t, 1, contrast(hex("#777777"), hex("#777777")), 1e-9)
	assert.Greater(t, contrast(hex("#767676"), hex("#FFFFFF")), 4.5, "common practice, no source")
	assert.Less(t, contrast(hex("#777777"), hex("#FFFFFF")), 4.5)
}

// TestEmphasis: without colours bold and reverse are left, and no colour is.
func TestEmphasis(t *testing.T) {
	lipgloss.SetColorProfile(termenv.Ascii)
	defer KeepEmphasis(false)
	assert.Equal(t, "x", painter()(Warn, "x"))
	KeepEmphasis(true)
	paint := painter()
	assert.Equal(t, "\x1b[1mx\x1b[0m", paint(Act, "x"))
	assert.Equal(t, "\x1b[1;7mx\x1b[0m", paint(Alarm, "x"))
	assert.Equal(t, "x", paint(Faint, "x"))
}
