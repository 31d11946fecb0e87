package widget_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"example.org/halfdrop/tui/widget"
)

func TestTicks(t *testing.T) {
	for _, c := range []struct {
		lo, hi float64
		n      int
		want   []float64
		dec    int
	}{
		{0, 6, 6, []float64{0, 1, 2, 3, 4, 5, 6}, 0},
		{-0.2, 5.1, 3, []float64{0, 2, 4}, 0},
		{7.094, 7.214, 6, []float64{7.1, 7.12, 7.14, 7.16, 7.18, 7.2}, 2},
		{0, 0.0031, 4, []float64{0, 0.001, 0.002, 0.003}, 3},
		{3, 3, 5, []float64{3}, 0},
	} {
		got, dec := widget.Axis{Lo: c.lo, Hi: c.hi}.Ticks(c.n)
		assert.InDeltaSlice(t, c.want, got, 1e-12)
		assert.Equal(t, c.dec, dec)
	}
}

// TestTicksAnywhere: ticks lie inside, are evenly spaced and not too many.
func TestTicksAnywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lo := rapid.Float64Range(-1e3, 1e3).Draw(t, "lo")
		hi := lo + rapid.Float64Range(1e-3, 1e3).Draw(t, "span")
		n := rapid.IntRange(1, 20).Draw(t, "n")
		at, _ := widget.Axis{Lo: lo, Hi: hi}.Ticks(n)
		if len(at) > n+1 {
			t.Fatalf("%d ticks for %d", len(at), n)
		}
		for i, v := range at {
			if v < lo-1e-6 || v > hi+1e-6 {
				t.Fatalf("tick %g outside %g to %g", v, lo, hi)
			}
			if i > 1 && math.Abs((at[i]-at[i-1])-(at[1]-at[0])) > 1e-6 {
				t.Fatalf("uneven ticks %v", at)
			}
		}
	})
}

// TestGraduate: whatever the range, the axis holds it, its numbers are round, and the
// same number of cells lies between each of them and the next.
func TestGraduate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lo := rapid.Float64Range(-100, 100).Draw(t, "lo")
		hi := lo + math.Pow(10, rapid.Float64Range(-2, 2).Draw(t, "log span"))
		cell := rapid.SampledFrom([]int{1, 2, 4}).Draw(t, "cell")
		gap := rapid.IntRange(2, 8).Draw(t, "gap")
		n := cell * rapid.IntRange(3*gap, 100).Draw(t, "cells")
		a, step, dec := widget.Axis{Lo: lo, Hi: hi, N: n}.Graduate(cell, gap)
		hair := 1e-9 * (hi - lo) // less than any screen can show
		if a.Lo > lo+hair || a.Hi < hi-hair || a.Hi-a.Lo > 2*(hi-lo) {
			t.Fatalf("%g to %g became %g to %g", lo, hi, a.Lo, a.Hi)
		}
		if m := step / math.Pow(10, math.Floor(math.Log10(step)+1e-9)); math.Abs(m-1)*math.Abs(m-2)*math.Abs(m-5) > 1e-6 && (math.Abs(m-4) > 1e-6 || n/cell > 10) { // fours on a short axis only
			t.Fatalf("a step of %g", step)
		}
		at, each := a.Marks(step), 0
		for i, v := range at {
			if text, back := widget.Number(v, dec), v; math.Abs(mustFloat(t, text)-back) > 1e-9*math.Max(1, math.Abs(back)) {
				t.Fatalf("%s for %g", text, back)
			}
			if i == 0 {
				continue
			}
			cells := a.At(v)/cell - a.At(at[i-1])/cell
			if each == 0 {
				each = cells
			}
			if cells != each || cells < gap {
				t.Fatalf("numbers %d and %d cells apart, of at least %d", each, cells, gap)
			}
		}
	})
}

func mustFloat(t *rapid.T, text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// TestPlotAxes: at any size the rows between the numbers of an axis are as many from
// each to the next, no number is cut or hidden, and every line has its name once.
func TestPlotAxes(t *testing.T) {
	for _, size := range [][2]int{{40, 8}, {44, 12}, {57, 15}, {72, 20}, {110, 34}} {
		p := widget.Plot{Aim: 7.31, Tolerance: 0.02, AimText: "aim", XLabel: "mL NaOH 1 M", YLabel: "pH"}
		for i := range 81 {
			x := 3.2 * float64(i) / 80
			p.Curve = append(p.Curve, widget.CurvePoint{X: x, Y: 5 + x*0.8, Low: 5 + x*0.8, High: 5 + x*0.8})
		}
		s := widget.NewSheet(size[0], size[1])
		p.Draw(s, widget.Rect{W: size[0], H: size[1]}, &widget.Unicode)
		rows := s.Lines(plain)
		text := strings.Join(rows, "\n")
		assert.Equal(t, 1, strings.Count(text, "aim"), text)
		assert.Equal(t, 1, strings.Count(text, "mL NaOH 1 M"), text)
		var at []int
		for i, row := range rows {
			if strings.Contains(row, "┤") {
				at = append(at, i)
			}
		}
		for i := 2; i < len(at); i++ {
			assert.Equal(t, at[1]-at[0], at[i]-at[i-1], "%v\n%s", at, text)
		}
		numbers := strings.Fields(rows[len(rows)-1])
		assert.Equal(t, strings.Count(rows[len(rows)-2], "┬"), len(numbers), text)
		last, err := strconv.ParseFloat(numbers[len(numbers)-1], 64)
		assert.NoError(t, err)
		assert.Greater(t, last, 2.0, "the last number is there:\n%s", text)
	}
}

// A short axis has two numbers, so that it can be read: pH 4.3 to 8.55 in five rows of
// cells, where 1, 2 and 5 leave only one.
func TestShortAxisHasTwoNumbers(t *testing.T) {
	a, step, _ := widget.Axis{Lo: 4.3, Hi: 8.55, N: 20}.Graduate(4, 2)
	at := a.Marks(step)
	assert.GreaterOrEqual(t, len(at), 2, "%v to %v by %v", a.Lo, a.Hi, step)
}

// TestWrapKeepsUnits: no row ends between a number and its unit.
func TestWrapKeepsUnits(t *testing.T) {
	text := "rinse and blot the electrode, stir; if it is not at 21 °C, type the temperature; carbonate in the base 0.30 %, 12.5 mL of 0.1 mol/L"
	for w := 20; w < 90; w++ {
		rows := widget.Wrap(text, w, 20, &widget.Unicode)
		for _, row := range rows {
			assert.LessOrEqual(t, widget.Width(row), w)
			assert.NotRegexp(t, `^(°C|%|mL|mol/L)`, row, "%d columns", w)
		}
		assert.Equal(t, strings.Fields(text), strings.Fields(strings.Join(rows, " ")))
	}
}

// TestFitEnd: of a text that is too long the end is kept, where it is typed.
func TestFitEnd(t *testing.T) {
	assert.Equal(t, "remark: abc_", widget.FitEnd("remark: abc_", 20, &widget.Unicode))
	for _, set := range []*widget.Set{&widget.Unicode, &widget.ASCII} {
		for w := 4; w < 30; w++ {
			out := widget.FitEnd("remark: 笠貝 and the stirrer was off for a minute_", w, set)
			assert.LessOrEqual(t, widget.Width(out), w)
			assert.True(t, strings.HasSuffix(out, "_"), out)
		}
	}
}
