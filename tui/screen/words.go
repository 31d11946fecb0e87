package screen

import (
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/widget"
)

// decimals is how many digits after the point pH is shown with: the meter's.
func decimals(v view.View) int {
	if !v.HasReading {
		return 2
	}
	return max(v.Decimals, 1)
}

// usable reports whether the reading may be shown as the pH of the beaker. Just
// after an addition the coach has no reading yet to go by, but the pH of a
// moment ago is no fault.
func usable(v view.View) bool {
	if v.Link == "lost" || v.Link == "quiet" { // an order or a question may stand meanwhile
		return false
	}
	switch v.Advice.Reason {
	case coach.Stale, coach.Faulty:
		return v.Advice.Do == coach.Check && v.HasReading // looked at, though it is none of the beaker
	}
	return v.HasReading
}

// PH is the reading with the digits of the meter, or dashes.
func PH(v view.View) string {
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

// standing says how the reading stands: by shape, in a word, and in numbers.
type standing struct {
	shape, word string
	numbers     []string // from long to short; may be empty
}

func standingOf(v view.View, set *widget.Set) standing {
	if !usable(v) {
		return absent(v, set)
	}
	if v.Away != nil {
		return out(v, set)
	}
	if v.Next != nil && v.Next.Mixing { // what stands there is of the beaker before
		return standing{shape: set.Ring, word: "last read"}
	}
	e, dec := v.Settling, min(decimals(v), v.EndDigits())
	off := "±" + spreadText(e.SD, dec)
	to := set.Arrow + " " + widget.Number(e.End, dec)
	known := !math.IsInf(e.SD, 0) && !math.IsNaN(e.End) && e.SD < view.VagueSD
	st := standing{shape: set.Ring, word: "settling", numbers: []string{to + " " + off, to}}
	if v.Settled() {
		return standing{set.Dot, "settled", []string{off}}
	}
	switch e.State {
	case probe.Moving:
		st.shape, st.word = set.Moving, "moving"
		known = false
	case probe.Empty:
		known = false
	}
	if !known {
		st.numbers = nil
	}
	return st
}

// out is how the reading stands while the electrode is out of the beaker.
func out(v view.View, set *widget.Set) standing {
	w := v.Away
	st := standing{shape: set.Ring, word: "in " + w.Name}
	switch {
	case w.Stage == walk.Immerse || w.Stage == walk.Done:
		st.word = "electrode out"
	case !math.IsNaN(w.End):
		to := set.Arrow + " " + widget.Number(w.End, 2)
		st.numbers = []string{to + " ±" + spreadText(w.SD, 2), to}
	}
	return st
}

func absent(v view.View, set *widget.Set) standing {
	if !v.HasReading {
		return standing{shape: set.Cross, word: "no reading yet"}
	}
	last := "last " + widget.Number(v.PH, decimals(v))
	return standing{set.Cross, "no reading", []string{fmt.Sprintf("%s, %.0f s ago", last, v.Age), last}}
}

// short is the standing in one line of at most w cells.
func (st standing) short(w int, set *widget.Set) string {
	head := st.shape + " " + st.word
	var all []string
	for _, n := range st.numbers {
		all = append(all, head+" "+n)
	}
	return widget.FirstFit(w, set, append(all, head)...)
}

// distance is how far the reading is from the aim, as both are shown: "now 7.17, aim 7.17"
// is not "0.01 below" for the sake of a digit that nobody sees.
func distance(v view.View) string {
	if v.Away != nil || !usable(v) || math.IsNaN(v.Advice.Aim) || v.Found != nil {
		return ""
	}
	dec := decimals(v)
	d := shown(v.PH, dec) - shown(v.Advice.Aim, aimDigits(v))
	off := widget.Number(math.Abs(d), dec)
	switch {
	case strings.Trim(off, "0.") == "":
		return "at the aim"
	case d < 0:
		return off + " below aim"
	}
	return off + " above aim"
}

// shown is a number as it is read with so many digits after the point.
func shown(x float64, digits int) float64 {
	p := math.Pow10(digits)
	return math.Round(x*p) / p
}

// settled reports whether the reading shown is final.
func settled(v view.View) bool {
	return v.Away == nil && usable(v) && v.Settled()
}

// degrees is a temperature in °C.
func degrees(t chem.Celsius) string {
	text := widget.Number(float64(t), 1)
	return strings.TrimSuffix(text, ".0") + " °C"
}

func millilitres(v chem.Volume, dec int) string { return widget.Number(v.Millilitres(), dec) }

// link is the state of the line in words, empty without a line.
func link(v view.View) string {
	if v.ByHand {
		return "typed by hand"
	}
	switch v.Link {
	case "":
		return ""
	case "quiet":
		if v.Unread { // lines come
			return "meter not understood"
		}
		return "no signal"
	case "lost":
		return "meter disconnected"
	}
	return "meter " + v.Link
}

// planned is a number of the plan: with the digits it was given there, but at
// least the usual two.
func planned(x float64) string {
	text := strings.TrimRight(widget.Number(x, 4), "0")
	if len(text)-strings.Index(text, ".") < 3 {
		return widget.Number(x, 2)
	}
	return text
}

// target is the pH wanted in use.
func target(v view.View) string { return planned(v.Target) }

// aimNow is the pH that the meter should show now, with its tolerance.
func aimNow(v view.View) string {
	return widget.Number(v.Advice.Aim, aimDigits(v)) + " ±" + within(v)
}

// within is the tolerance at the meter: that of the plan as it is there, or what a
// calibration leaves of it, to a thousandth, as the sentence has it.
func within(v view.View) string {
	if v.Advice.Tolerance == v.Tolerance {
		return planned(v.Tolerance)
	}
	return planned(math.Round(1000*v.Advice.Tolerance) / 1000)
}

// aimDigits is how many digits after the point the aim has: two, which a display that is
// read off to one may not lead astray, or three where the tolerance asks for them.
func aimDigits(v view.View) int {
	if v.Advice.Tolerance < 0.01 {
		return max(decimals(v), 3)
	}
	return 2
}

// Spoken is the reading in a sentence without any sign.
func Spoken(v view.View) string {
	st := standingOf(v, &widget.Unicode)
	numbers := ""
	if len(st.numbers) > 0 {
		numbers = ", " + strings.NewReplacer("→", "towards", "±", "plus or minus ").Replace(st.numbers[0])
	}
	if !usable(v) {
		return phrase.UpperFirst(st.word) + numbers + "."
	}
	return "pH " + PH(v) + ", " + st.word + numbers + "."
}
