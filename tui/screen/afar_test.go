package screen_test

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/screen/screentest"
	"example.org/halfdrop/tui/widget"
)

// shows reports whether a text stands on a screen in big letters of one of the scales,
// every row of it whole.
func shows(out, text string, scales ...widget.Scale) bool {
	lines := strings.Split(out, "\n")
	for k := range 2 * len(scales) {
		rows := widget.BlockDigits(text, scales[k/2], &widget.Unicode)
		if k%2 == 1 {
			rows = widget.BlockDigitsLow(text, scales[k/2], &widget.Unicode)
		}
		for i := 0; i+len(rows) <= len(lines); i++ {
			n := 0
			for j, row := range rows {
				if strings.Contains(lines[i+j], strings.TrimRight(row, " ")) {
					n++
				}
			}
			if n == len(rows) {
				return true
			}
		}
	}
	return false
}

var everyScale = []widget.Scale{widget.Small, widget.Tall, widget.Medium, widget.High, widget.Large, widget.Huge, widget.Giant}

// TestHowMuchIsReadFromAfar: the number of an order is in big letters at every size, and
// so is mL wherever that leaves the number large.
func TestHowMuchIsReadFromAfar(t *testing.T) {
	for _, ml := range []float64{2.35, 11.4, 21.3, 0.05} {
		st := named("add in mL")
		st.View.Advice.Drops, st.View.Advice.Volume = 0, chem.Volume(ml)*chem.Millilitre
		number, _, _ := strings.Cut(view.Amount(0, st.View.Advice.Volume), " ")
		for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}, {200, 60}} {
			out := screen.Coach(st, size[0], size[1])
			large := everyScale[1:]
			if size[0] < 80 && len(number) > 4 {
				large = everyScale
			}
			assert.True(t, shows(out, number, large...), "%s at %v\n%s", number, size, out)
			assert.Contains(t, out, "ADD", "%s at %v", number, size)
			if size[0] >= 80 {
				assert.True(t, shows(out, "mL", everyScale...), "mL of %s at %v\n%s", number, size, out)
			}
			if size[0] >= 120 {
				assert.True(t, shows(out, "mL", everyScale[1:]...), "mL of %s at %v\n%s", number, size, out)
				assert.True(t, shows(out, number, everyScale[3:]...), "%s is larger at %v\n%s", number, size, out)
			}
		}
	}
}

// TestTooEarlyToSay: where the sentence says that it is too early to say where the reading
// will end, nothing on the screen says where it will.
func TestTooEarlyToSay(t *testing.T) {
	for _, sd := range []float64{0.19, 0.21, 0.29} {
		st := named("waiting")
		reading(&st.View, 6.05, probe.Settling, 6.39, sd)
		for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}} {
			out := screen.Coach(st, size[0], size[1])
			early := strings.Contains(out, "too early to say")
			assert.Equal(t, sd > 0.2, early, "±%g at %v", sd, size)
			assert.Equal(t, !early, shows(out, "to 6.39", everyScale...), "±%g at %v\n%s", sd, size, out)
			assert.Equal(t, !early, strings.Contains(out, "→ 6.39"), "±%g at %v\n%s", sd, size, out)
		}
	}
}

// TestWhatIsLeftIsThatOfTheBeaker: how much is to go is not said from a curve on which the
// reading does not lie: with an addition that did not reach the beaker it said 0.3 mL
// beside an order of 1.75 mL.
func TestWhatIsLeftIsThatOfTheBeaker(t *testing.T) {
	st := named("waiting")
	v := &st.View
	reading(v, 7.12, probe.Settling, 7.12, 0.01)
	assert.Contains(t, screen.Coach(st, 80, 24), "mL to go")
	reading(v, 6.42, probe.Settled, 6.42, 0.01)
	assert.NotContains(t, screen.Coach(st, 80, 24), "to go")
	for off, said := range map[float64]bool{0.12: true, -0.12: true, 0.17: false, -0.17: false} {
		reading(v, 7.12+off, probe.Settled, sketch(v.Charge)+off, 0.01)
		v.Advice.Aim = 7.19 + max(off, 0) // still ahead of it
		assert.Equal(t, said, strings.Contains(screen.Coach(st, 80, 24), "mL to go"), "%+.2f off the curve", off)
	}
	reading(v, 6.42, probe.Moving, math.NaN(), math.Inf(1))
	assert.Contains(t, screen.Coach(st, 80, 24), "mL to go", "a reading on its way says nothing against it")
}

// TestWhatIsLeftAgreesWithTheReading: what is to go is counted from where the reading lies
// on the curve, not from where the labels have it: "0.95 mL to go" stood beside an order of
// 5 drops that was expected to land at the aim.
func TestWhatIsLeftAgreesWithTheReading(t *testing.T) {
	left := func(off float64) float64 {
		st := named("waiting")
		v := &st.View
		reading(v, sketch(v.Charge)+off, probe.Settled, sketch(v.Charge)+off, 0.01)
		out := screen.Coach(st, 80, 24)
		m := regexp.MustCompile(`([0-9.]+) of ([0-9.]+) mL to go`).FindStringSubmatch(out)
		require.NotNil(t, m, out)
		x, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		all, err := strconv.ParseFloat(m[2], 64)
		require.NoError(t, err)
		assert.InDelta(t, v.Charge/1e-3, all-x, 0.06, "what was given is not to go any more")
		return x
	}
	st := named("waiting")
	v := st.View
	want := func(off float64) float64 { // mL of a base of 1 M, from the curve of the sample
		f := func(ph float64) float64 { return buffer / (1 + math.Pow(10, pKa-ph)) }
		return (f(v.Advice.Aim) - f(sketch(v.Charge)+off)) * 1e3
	}
	for _, off := range []float64{-0.1, -0.05, 0} {
		assert.InDelta(t, want(off), left(off), 0.06, "%+.1f", off)
	}
}

// TestTheDisplayIsWhole: every digit of a simulated display is on the screen, however many
// it has.
func TestTheDisplayIsWhole(t *testing.T) {
	for _, shown := range []string{"4.08", "4.085", "10.085", "−120.4"} {
		st := named("by hand simulated")
		st.Display = shown
		for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}, {200, 60}} {
			out := screen.Coach(st, size[0], size[1])
			assert.True(t, shows(out, widget.Steady(shown), everyScale...), "%s at %v\n%s", shown, size, out)
		}
	}
}

// TestUnitsStandApart: a unit of the big line is not read with what is said of the reading
// beside it ("12 drops 0.07 below aim").
func TestUnitsStandApart(t *testing.T) {
	for _, s := range samples() {
		for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}} {
			out := screen.Coach(s.st, size[0], size[1])
			assert.NotRegexp(t, `(?:drops?|mL|[^m] s|the pH|steady) (?:±?\d|→|typed|nothing typed)`, strings.Join(strings.SplitN(out, "\n", 10)[:7], "\n"), "%s at %v", s.name, size)
		}
	}
}

// TestDoneSaysWhatWasFound: at the end of a determination the big line is the answer.
func TestDoneSaysWhatWasFound(t *testing.T) {
	st := found(t)
	st.View.Advice.Do, st.View.Advice.Reason = coach.Stop, coach.Sure
	st.View.AtRest, st.View.Read = true, view.Value{PH: 9.451}
	for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}} {
		out := screen.Coach(st, size[0], size[1])
		assert.Equal(t, 1, strings.Count(out, "NaOH 0.1 M is 0.09753"), "the answer is said once")
		assert.Contains(t, strings.Join(strings.Fields(out), " "), "pH readings 0.16 %", "what limits it is whole")
		assert.True(t, shows(out, "0.09753 M", everyScale...), "%v\n%s", size, out)
	}
}

// TestTheBadgeGrows: the bottle that is meant is as tall as the letters of its name, by
// shape (a bottle of base, a flask of acid) and by place, on every set of characters.
func TestTheBadgeGrows(t *testing.T) {
	for size, want := range map[[2]int][2]string{{80, 24}: {"┏┻┓", "╱3╲"}, {120, 40}: {"┏━┻━┻━┓", "  ┃    ┃"}, {200, 60}: {"┏━┻━┻━┓", "  ┃    ┃"}} {
		st := named("add")
		assert.Contains(t, screen.Coach(st, size[0], size[1]), want[0], size)
		advise(&st.View, coach.Far, 2, 6, 7.16, 7.145, 7.175)
		assert.Contains(t, screen.Coach(st, size[0], size[1]), want[1], size)
		for _, set := range []*widget.Set{&widget.Console, &widget.ASCII} {
			st.Set = set
			screentest.Fits(t, screen.Coach(st, size[0], size[1]), size[0], size[1])
		}
	}
}

// TestNoFalseDigitsOfAnEnd: of a spread two digits say something, and the end of a reading
// has no more than that, whatever the meter sends.
func TestNoFalseDigitsOfAnEnd(t *testing.T) {
	for sd, want := range map[float64]string{0.117: "3.95 ± 0.12", 0.029: "3.952 ± 0.029", 0.0996: "3.95 ± 0.10"} {
		st := named("waiting")
		st.View.Decimals = 3
		reading(&st.View, 4.214, probe.Settling, 3.952, sd)
		out := screen.Coach(st, 80, 24)
		end, spread, _ := strings.Cut(want, " ± ")
		assert.Contains(t, out, "on its way to about "+want, out)
		assert.Contains(t, out, "→ "+end+" ±"+spread, out)
		assert.True(t, shows(out, "to "+end, everyScale...), out)
	}
}

// TestAnotherAmountLandsElsewhere: while another amount falls than was ordered, the screen
// does not say that it lands where the order would.
func TestAnotherAmountLandsElsewhere(t *testing.T) {
	for drops, said := range map[float64]bool{6: true, 40: false} {
		st := named("add")
		st.View.Giving = &view.Giving{Titrant: st.View.Titrant, Drops: drops, Fallen: 2}
		out := screen.Coach(st, 80, 24)
		assert.Equal(t, said, strings.Contains(out, "lands 7.14"), "%g drops\n%s", drops, out)
	}
	st := named("add")
	st.View.Giving = &view.Giving{Titrant: "HCl 1 M", Drops: 6}
	assert.NotContains(t, screen.Coach(st, 80, 24), "lands 7.14")
}

// TestATighterToleranceIsExplained: where the calibration leaves less than the plan allows,
// the plan's tolerance stands beside the one that is aimed at, and only there.
func TestATighterToleranceIsExplained(t *testing.T) {
	st := named("waiting")
	st.View.Tolerance, st.View.Advice.Tolerance = 0.03, 0.015
	assert.Contains(t, screen.Coach(st, 120, 40), "plan ±0.03, less what the calibration takes")
	st.View.Advice.Tolerance = 0.015234 // what is left is no round number: "±0.0152 at 22 °C" stood there
	assert.Contains(t, screen.Coach(st, 80, 24), "±0.015 at 21.5 °C")
	st.View.Advice.Tolerance = 0.03
	assert.NotContains(t, screen.Coach(st, 120, 40), "plan ±")
}

// TestWhatIsLeftAgreesWithTheStep: a step that is expected to land short of the aim is less
// than what is to go, ordered or offered: "5.6 mL to go" stood beside an order of 6.20 mL.
func TestWhatIsLeftAgreesWithTheStep(t *testing.T) {
	left := func(v view.View) float64 {
		st := named("waiting")
		st.View = v
		out := screen.Coach(st, 80, 24)
		m := regexp.MustCompile(`([0-9.]+) of [0-9.]+ mL to go`).FindStringSubmatch(out)
		require.NotNil(t, m, out)
		x, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		return x
	}
	v := named("waiting").View
	reading(&v, sketch(v.Charge), probe.Settled, sketch(v.Charge), 0.01)
	without := left(v)
	given, after := chem.Volume(without+0.5)*1e-3, v.Advice.Aim-0.03
	ordered, offered := v, v
	ordered.Advice.Do, ordered.Advice.Stock, ordered.Advice.Volume, ordered.Advice.After = coach.Add, 0, given, after
	offered.Offer = &view.Offer{Titrant: v.Titrants[0], Volume: given, After: after}
	for _, v := range []view.View{ordered, offered} {
		assert.Greater(t, left(v), given.Millilitres(), "it is short of the aim")
		assert.Less(t, left(v), given.Millilitres()+without)
	}
}

// TestTheDistanceIsThatOfTheNumbersShown: "now 7.17, aim 7.17" stood beside "0.01 below aim".
func TestTheDistanceIsThatOfTheNumbersShown(t *testing.T) {
	st := named("waiting")
	v := &st.View
	v.Decimals = 2
	v.Advice.Aim, v.Advice.Tolerance = 7.1745, 0.02
	for ph, says := range map[float64]string{7.1655: "at the aim", 7.1649: "0.01 below aim", 7.1851: "0.02 above aim"} {
		reading(v, ph, probe.Settled, ph, 0.002)
		v.Advice.Aim = 7.1745
		assert.Contains(t, screen.Coach(st, 80, 24), says, "%g", ph)
	}
}

// TestLinesThatComeAreASignal: over "the meter's lines cannot be read" stood "no signal".
func TestLinesThatComeAreASignal(t *testing.T) {
	st := named("waiting")
	st.View.Link = "quiet"
	assert.Contains(t, screen.Coach(st, 80, 24), "no signal ·")
	st.View.Unread = true
	assert.NotContains(t, screen.Coach(st, 80, 24), "no signal ·")
	assert.Contains(t, screen.Coach(st, 80, 24), "meter not understood ·")
}
