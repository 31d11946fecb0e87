package screen_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/screen/screentest"
	"example.org/halfdrop/tui/widget"
)

func TestCoach(t *testing.T) {
	for _, s := range samples() {
		screentest.Goldens(t, s.name, func(w, h int) string { return screen.Coach(s.st, w, h) })
	}
}

func TestCoachSets(t *testing.T) {
	for name, set := range map[string]*widget.Set{"ascii": &widget.ASCII, "console": &widget.Console} {
		for _, s := range samples() {
			s.st.Set = set
			out := screen.Coach(s.st, 80, 24)
			screentest.Fits(t, out, 80, 24)
			if set.ASCII {
				assert.Equal(t, len(out), utf8.RuneCountInString(out), "%s: only ASCII", s.name)
			}
			if s.name == "add" || s.name == "silent" {
				screentest.Golden(t, s.name+" "+name, out, 80, 24)
			}
		}
	}
}

func TestCoachHelp(t *testing.T) {
	s := samples()[2].st
	for i := range 14 {
		s.Help = append(s.Help, keyrow.Key{Name: fmt.Sprintf("key %d", i), Does: "does something that takes a few words to say"})
	}
	screentest.Golden(t, "help 80x24", screen.Coach(s, 80, 24), 80, 24)
	screentest.Fits(t, screen.Coach(s, 60, 20), 60, 20)
	screentest.Fits(t, screen.Coach(s, 20, 5), 20, 5)
}

// TestCoachSmall: below the smallest full size the sentence and the pH remain.
func TestCoachSmall(t *testing.T) {
	st := samples()[2].st
	for _, size := range [][2]int{{40, 12}, {59, 20}, {60, 19}, {30, 6}, {26, 4}, {24, 3}} {
		out := screen.Coach(st, size[0], size[1])
		screentest.Fits(t, out, size[0], size[1])
		assert.Contains(t, strings.ReplaceAll(out, "\n", " "), "ADD 6 drops of NaOH 1 M", size)
		assert.Contains(t, out, "pH 7.12", size)
	}
	screentest.Golden(t, "add 40x12", screen.Coach(st, 40, 12), 40, 12)
}

// TestCoachAnySize: no size at all breaks a screen.
func TestCoachAnySize(t *testing.T) {
	for _, s := range samples() {
		for _, w := range []int{1, 9, 29, 59, 60, 71, 72, 100, 150, 211} {
			for _, h := range []int{1, 3, 8, 13, 19, 20, 24, 26, 34, 48} {
				screentest.Fits(t, screen.Coach(s.st, w, h), w, h)
			}
		}
	}
	assert.Empty(t, screen.Coach(samples()[0].st, 0, 24))
	assert.Empty(t, screen.Coach(samples()[0].st, 80, -1))
}

// TestCoachStates: the state is told by word and shape, without any colour.
func TestCoachStates(t *testing.T) {
	shapes := map[string]string{}
	for _, s := range samples() {
		switch s.name {
		case "waiting", "add", "stop", "check", "silent", "hands off", "dosing", "given":
			rows := strings.Split(screen.Coach(s.st, 80, 24), "\n")
			stripe := []rune(rows[2])[1]
			for _, row := range rows[6:10] {
				if words := strings.Fields(row); len(words) > 2 && strings.Contains("▼○■▲", words[1]) {
					shapes[s.name] = fmt.Sprintf("%c %s %s", stripe, words[1], words[2])
				}
			}
		}
	}
	assert.Equal(t, map[string]string{
		"waiting": "┊ ○ WAIT", "add": "┃ ▼ ADD", "stop": "║ ■ DONE,", "check": "╏ ▲ CHECK", "silent": "╏ ▲ WAIT",
		"hands off": "┊ ○ HANDS", "dosing": "┃ ▼ ADDING", "given": "╏ ▲ GIVEN?",
	}, shapes)
}

// block is a text in big letters in a screen: it reports whether some scale of it
// stands there, on rows below each other.
func block(out, text string, scales ...widget.Scale) bool {
	var grid [][]rune
	for row := range strings.SplitSeq(out, "\n") {
		grid = append(grid, []rune(row+strings.Repeat(" ", 200)))
	}
	for k := range 2 * len(scales) {
		want := widget.BlockDigits(text, scales[k/2], &widget.Unicode)
		if k%2 == 1 {
			want = widget.BlockDigitsLow(text, scales[k/2], &widget.Unicode)
		}
		n := utf8.RuneCountInString(want[0])
		for y := 0; y+len(want) <= len(grid); y++ {
			for x := 0; x+n <= len(grid[y])-100; x++ {
				at := 0
				for at < len(want) && string(grid[y+at][x:x+n]) == want[at] {
					at++
				}
				if at == len(want) {
					return true
				}
			}
		}
	}
	return false
}

// TestCoachGiant: what can go wrong is in letters of at least three rows: verb,
// number and bottle, larger on larger terminals; the badge tells an acid from a base
// by its shape and one bottle from another by its place.
func TestCoachGiant(t *testing.T) {
	add, past := screen.Coach(named("add"), 80, 24), screen.Coach(named("past"), 80, 24)
	for _, text := range []string{"ADD", "6"} {
		assert.True(t, block(add, text, widget.Medium), "%s\n%s", text, add)
	}
	assert.True(t, block(add, "NaOH 1 M", widget.Small), add)
	assert.True(t, block(past, "HCl 1 M", widget.Small), past)
	large := screen.Coach(named("add"), 120, 40)
	assert.True(t, block(large, "ADD", widget.Large) && block(large, "NaOH 1 M", widget.Medium), large)
	giant := screen.Coach(named("add"), 200, 60)
	assert.True(t, block(giant, "ADD", widget.Giant) && block(giant, "NaOH 1 M", widget.Large), giant)
	assert.True(t, block(screen.Coach(named("add"), 60, 20), "NaOH 1 M", widget.Small))
	assert.Contains(t, add, "┃ ┃1┃ ", "the first bottle, a base")
	assert.Contains(t, past, "╱3╲", "the third, an acid")
	for name, word := range map[string]string{"stop": "DONE", "given": "GIVEN?", "hands off": "HANDS OFF", "check": "CHECK"} {
		assert.True(t, block(screen.Coach(named(name), 80, 24), word, widget.Medium, widget.Tall), name)
	}
	assert.True(t, block(screen.Coach(named("one too many"), 80, 24), "STOP", widget.Tall), "no further")
	long := named("add")
	long.View.Titrants[0], long.View.Titrant = "Tris base 2 M with 40 mM EDTA of the shelf at the window, week 48", "Tris base 2 M with 40 mM EDTA of the shelf at the window, week 48"
	assert.Contains(t, screen.Coach(long, 120, 40), "Tris base 2 M with 40 mM EDTA of the shelf at the window", "too long for big letters: written out")
}

// TestCoachJustAdded: right after an addition the last pH stays, without alarm.
func TestCoachJustAdded(t *testing.T) {
	st := samples()[1].st
	st.View.Advice.Reason = coach.NoReading
	st.View.Settling = probe.Estimate{State: probe.Empty, SD: math.Inf(1), End: math.NaN()}
	out := screen.Coach(st, 40, 12)
	assert.Contains(t, out, "pH 7.07 ○ settling")
	assert.Contains(t, screen.Coach(st, 80, 24), "○ WAIT")
}

// TestCoachColour: the parts have their inks on a dark and on a light ground,
// and nothing but text is left without colour.
func TestCoachColour(t *testing.T) {
	defer lipgloss.SetColorProfile(termenv.Ascii)
	defer lipgloss.SetHasDarkBackground(true)
	add, check := named("add"), named("check")
	// termenv rounds some channels down by one
	for _, c := range []struct {
		dark                bool
		act, warn, aim, not string
	}{
		{true, "86;179;233", "255;154;97", "227;163;200", "0;95;150"},
		{false, "0;95;150", "166;60;0", "134;64;105", "86;179;233"},
	} {
		lipgloss.SetColorProfile(termenv.TrueColor)
		lipgloss.SetHasDarkBackground(c.dark)
		out := screen.Coach(add, 80, 24)
		screentest.Fits(t, out, 80, 24)
		assert.Regexp(t, `\x1b\[1;38;2;`+c.act+`m┃ ▼ ADD 6 drops of NaOH 1 M`, out)
		assert.Contains(t, out, "38;2;"+c.aim)
		assert.NotContains(t, out, "38;2;"+c.not)
		assert.Regexp(t, `\x1b\[1;38;2;`+c.warn+`m╏ ▲ CHECK`, screen.Coach(check, 80, 24))
	}
	lipgloss.SetColorProfile(termenv.Ascii)
	assert.NotContains(t, screen.Coach(add, 80, 24), "\x1b")
}

// TestCoachHostile: what a meter or a plan sends cannot reach the terminal as
// a control code.
func TestCoachHostile(t *testing.T) {
	st := samples()[2].st
	st.View.Name = "a\x1b]0;gone\x07b\x1b[2Jc\u009b31md"
	st.Said = "line one\nline two\r\t"
	st.View.Alarm = "\x1b[31m\U0001F469\u200d\U0001F52C 緩衝液"
	out := screen.Coach(st, 80, 24)
	screentest.Fits(t, out, 80, 24)
	for _, r := range out {
		assert.False(t, r != '\n' && (r < ' ' || r >= 0x7f && r < 0xa0), "control %U", r)
	}
	for w := range 40 {
		screentest.Fits(t, screen.Coach(st, w+1, 9), w+1, 9)
	}
}

func BenchmarkCoach(b *testing.B) {
	lipgloss.SetColorProfile(termenv.TrueColor)
	defer lipgloss.SetColorProfile(termenv.Ascii)
	st := samples()[2].st
	for b.Loop() {
		screen.Coach(st, 120, 40)
	}
}

// TestNothingIsCutAtTheLeastSize: on the smallest screen with a place for everything the
// big word, its number and the reading do not run into each other, whatever the order
// and however many digits the meter has.
func TestNothingIsCutAtTheLeastSize(t *testing.T) {
	for _, s := range samples() {
		for _, digits := range []int{2, 3} {
			for _, drops := range []float64{0, 28, 128} {
				st := s.st
				st.View.Decimals = digits
				if drops > 0 && st.View.Advice.Do == coach.Add {
					st.View.Advice.Drops = drops
				}
				if st.Display != "" || st.View.Away != nil || !st.View.HasReading {
					continue
				}
				out := screen.Coach(st, 60, 20)
				assert.NotRegexp(t, `[^ ]pH [○●≈×]`, out, "%s, %d digits, %g drops", s.name, digits, drops)
				assert.True(t, block(out, widget.Steady(screen.PH(st.View)), widget.Small), "%s, %d digits, %g drops:\n%s", s.name, digits, drops, out)
			}
		}
	}
}

// TestPointsThatSayNothing: a composition that was left before its reading said where it
// would end is no point of the curve; the present one always is.
func TestPointsThatSayNothing(t *testing.T) {
	circles := func(sd, last float64) (before, now int) {
		st := named("waiting")
		st.View.Points = []view.Point{{After: 0, PH: 5.4, SD: sd}, {After: 1, Charge: 1e-3, PH: 6.6, SD: last}}
		page := screen.Coach(st, 120, 40)
		_, curve, _ := strings.Cut(page, "pH │")
		return strings.Count(curve, "○"), strings.Count(curve, "●")
	}
	for sd, shown := range map[float64]int{0.02: 1, 0.29: 1, 0.3: 0, 0.76: 0} {
		before, now := circles(sd, 0.02)
		assert.Equal(t, shown, before, "a spread of %g", sd)
		assert.Equal(t, 1, now)
	}
	_, now := circles(0.02, 1.5)
	assert.Equal(t, 1, now, "the beaker as it is now")
}

// TestDigitsStandStill: the columns of the figures of the reading are the same from one
// value to the next, whatever its figures.
func TestDigitsStandStill(t *testing.T) {
	for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}, {200, 60}} {
		at := map[string]bool{}
		for _, ph := range []float64{6.737, 6.111, 6.101, 5.991} {
			st := named("waiting")
			reading(&st.View, ph, probe.Settling, 7.12, 0.03)
			st.View.Decimals = 3
			for line := range strings.SplitSeq(screen.Coach(st, size[0], size[1]), "\n") {
				if before, _, ok := strings.Cut(line, "pH ○"); ok {
					at[fmt.Sprint(utf8.RuneCountInString(before))] = true
				}
			}
		}
		assert.Len(t, at, 1, "%v", size)
	}
	for _, size := range [][2]int{{60, 20}, {80, 24}, {100, 40}, {120, 40}, {200, 60}} { // nor does the order change its size with them
		rows := map[string]bool{}
		for _, ph := range []float64{5.27, 5.21, 5.11} {
			st := named("add in mL")
			st.View.Advice.Drops, st.View.Advice.Volume = 0, 21.3*chem.Millilitre
			reading(&st.View, ph, probe.Settling, 5.3, 0.03)
			for i, line := range strings.Split(screen.Coach(st, size[0], size[1]), "\n")[1:6] {
				rows[fmt.Sprint(i, " ", string([]rune(line + strings.Repeat(" ", size[0]))[:size[0]/2]))] = true
			}
		}
		assert.Len(t, rows, 5, "%v", size)
	}
	assert.Equal(t, widget.BlockWidth(widget.Steady("6.111"), widget.Small), widget.BlockWidth(widget.Steady("6.737"), widget.Small))
}
