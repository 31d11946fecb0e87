package screen

import (
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/settle"
	"example.org/halfdrop/tui/widget"
)

// Clock is run time as mm:ss, or h:mm:ss from an hour on.
func Clock(t float64) string {
	s := int(max(t, 0))
	if s >= 3600 {
		return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
	}
	return fmt.Sprintf("%02d:%02d", s/60, s%60)
}

// decimals is how many digits after the point pH is shown with: the meter's.
func decimals(v run.View) int {
	if !v.HasReading {
		return 2
	}
	return max(v.Decimals, 1)
}

// usable reports whether the reading may be shown as the pH of the beaker.
func usable(v run.View) bool {
	switch v.Advice.Reason {
	case coach.NoReading, coach.Stale, coach.Faulty:
		return false
	}
	return v.HasReading
}

// PH is the reading with the digits of the meter, or dashes.
func PH(v run.View) string {
	if !usable(v) {
		return "-." + strings.Repeat("-", decimals(v))
	}
	return widget.Number(v.PH, decimals(v))
}

// spreadText is a standard deviation with the digits of the meter, or with one
// that says something.
func spreadText(sd float64, dec int) string {
	if text := widget.Number(sd, dec); strings.Trim(text, "0.") != "" {
		return text
	}
	return widget.Number(sd, dec+1)
}

// Standing says by shape and word how the reading stands, in wordings from
// long to short.
func Standing(v run.View, set *widget.Set) []string {
	e, dec := v.Settling, decimals(v)
	if !usable(v) {
		return absent(v, set)
	}
	known := !math.IsInf(e.SD, 0) && !math.IsNaN(e.End) && e.SD < 0.3
	to := " " + set.Arrow + " " + widget.Number(e.End, dec)
	off := " ±" + spreadText(e.SD, dec)
	shape, word := set.Ring, "settling"
	switch e.State {
	case settle.Settled:
		return []string{set.Dot + " settled" + off, set.Dot + " settled"}
	case settle.Noisy:
		return []string{set.Wave + " noisy ±" + spreadText(e.Noise, dec), set.Wave + " noisy"}
	case settle.Drifting:
		shape, word = set.Slope, "drifting"
	case settle.Empty:
		known = false
	}
	if !known {
		return []string{shape + " " + word}
	}
	return []string{shape + " " + word + to + off, shape + " " + word + to, shape + to}
}

func absent(v run.View, set *widget.Set) []string {
	if !v.HasReading {
		return []string{set.Cross + " no reading yet", set.Cross + " none yet"}
	}
	last := "last " + widget.Number(v.PH, decimals(v))
	return []string{fmt.Sprintf("%s %s, %.0f s ago", set.Cross, last, v.Age), set.Cross + " " + last}
}

// Settled reports whether the reading shown is final.
func settled(v run.View) bool { return usable(v) && v.Settling.State == settle.Settled }

// Degrees is a temperature in °C.
func Degrees(t chem.Celsius) string {
	text := widget.Number(float64(t), 1)
	return strings.TrimSuffix(text, ".0") + " °C"
}

func millilitres(v chem.Volume, dec int) string { return widget.Number(v.Millilitres(), dec) }

// link is the state of the line in words, empty without a line.
func link(v run.View) string {
	if v.Link == "" {
		return ""
	}
	return "meter " + v.Link
}

// Target is the pH wanted in use.
func Target(v run.View) string { return widget.Number(v.Target, max(decimals(v), 2)) }

// AimNow is the pH that the meter should show now, with its tolerance.
func AimNow(v run.View) string {
	dec := decimals(v)
	return widget.Number(v.Advice.Aim, dec) + " ±" + spreadText(v.Advice.Tolerance, dec)
}

// Words says how the reading stands without any sign.
func Words(v run.View) string {
	text := Standing(v, &widget.Unicode)[0]
	_, text, _ = strings.Cut(text, " ")
	return strings.NewReplacer("→", "towards", "±", "plus or minus ").Replace(text)
}
