package widget_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/tui/widget"
)

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
