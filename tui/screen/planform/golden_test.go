package planform_test

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/tui/screen/planform"
	"example.org/halfdrop/tui/screen/screentest"
	"example.org/halfdrop/tui/widget"
)

// written is a planner with words as long as those of a real plan. Its
// chemistry is a sketch for the screen alone.
type written struct{}

func (written) Look(v map[string]string) (map[string]string, []string) {
	switch v["ph"] {
	case "":
		return nil, []string{"Type the pH wanted in use. Everything else has a usual value."}
	case "7.4x":
		return map[string]string{"ph": `"7.4x" is not a number`, "stock": `"NaOH" has no strength; write it as in "NaOH 1 M", several with semicolons`}, nil
	}
	return nil, []string{
		"5.958 g HEPES; ≈ 11 mL NaOH 1 M, up from pH 5.3; aim pH 7.25 on the meter",
		"HEPES, pKa′ 7.50; capacity 29 mM per pH; dpH/dT −0.012 per °C; ionic strength 22 mM",
	}
}

func (written) Choose(map[string]string) (string, []planform.Choice, error) {
	var list []planform.Choice
	for i, name := range []string{"HEPES", "TES", "POPSO", "MOPS", "TAPSO", "imidazole", "DIPSO", "BES", "triethanolamine", "HEPPS", "phosphate", "PIPES", "Tricine", "HEPPSO",
		"Bis-Tris propane", "MOPSO", "ACES", "glycylglycine", "Tris", "Bicine"} {
		from := name + ", base"
		if name == "phosphate" {
			from = "monosodium phosphate, base"
		}
		list = append(list, planform.Choice{Name: name, Row: fmt.Sprintf("%-20s %4.2f  %+7.2f  %5d  %+6.3f  %4d  %7.2f  %s", name, 7.5-0.1*float64(i), 0.1*float64(i), 29-i, -0.012, 22+i, 0.2+0.1*float64(i), from),
			Why: []string{"0.10 pKa′ 7.50 is 0.10 above the target", "0.00 capacity 29 mM per pH; its own part is 102 % of the one-pKa maximum at 50 mM", "0.07 pH moves -0.012 per °C"}})
	}
	return fmt.Sprintf("%-20s %-4s  %7s  %5s  %6s  %4s  %7s  %s", "buffer", "pKa′", "pH−pKa′", "mM/pH", "dpH/dT", "I mM", "penalty", "start from"), list, nil
}

func (written) Sheet(map[string]string) (string, error) {
	page := "HEPES 50 mM pH 7.40 at 25 °C\n============================\n\nRecipe\n------\n" +
		"- Dissolve the acid form, titrate with base from pH 5.3: 5.958 g of HEPES; then about 11\n  ± 0.7 mmol of sodium hydroxide.\n" +
		"- NaOH 5 M: 2.21 mL, 44 drops of 50 µL, if used throughout.\n\nBench sheet\n-----------\n"
	for i := range 30 {
		page += fmt.Sprintf("%2d. A step that is described on one line and goes on to the end of the page.\n    ! And a caution, set in.\n", i+1)
	}
	return page, nil
}

func (written) Save(map[string]string) (string, error) {
	return "plan written to plan.toml; next: halfdrop titrate --port NAME --plan plan.toml", nil
}

// fullForm has as many lines as the form of halfdrop plan.
func fullForm(set *widget.Set) *planform.Form { return fullFormOf(written{}, set) }

func fullFormOf(p planform.Planner, set *widget.Set) *planform.Form {
	return planform.New(p, []planform.Field{
		{Key: "ph", Label: "pH in use", Hint: "1 to 13, at the temp. of use"},
		{Key: "temp", Label: "temperature of use", Unit: "°C", Value: "25", Hint: "0 to 60"},
		{Key: "bench-temp", Label: "bench temperature", Unit: "°C", Value: "22", Hint: "of the beaker"},
		{Key: "mM", Label: "concentration", Unit: "mM", Value: "50", Hint: "all forms"},
		{Key: "ml", Label: "volume", Unit: "mL", Value: "500", Hint: "the mark to make up to"},
		{Key: "tolerance", Label: "tolerance ±", Unit: "pH", Value: "0.05", Hint: "0.05 usual, 0.02 finest"},
		{Key: "avoid", Label: "avoid", Hint: "metals calcium uv diols …", Gap: true},
		{Key: "buffer", Label: "buffer", Hint: "empty: the best one; F2 lists all"},
		{Key: "way", Label: "method", Value: "titrate", Choices: []string{"titrate", "salts"},
			Names: map[string]string{"titrate": "titration", "salts": "mixed salts"}, Hint: "one form + acid or base, or both forms"},
		{Key: "have", Label: "solids available", Hint: "Na2HPO4·7H2O; empty: any"},
		{Key: "stock", Label: "stock solutions", Hint: "NaOH 1 M; HCl 1 M"},
		{Key: "ionic", Label: "ionic strength", Unit: "mM", Hint: "empty: not adjusted"},
		{Key: "dropper", Label: "dropper", Unit: "or µL", Hint: "name or size; empty: 50 µL"},
		{Key: "anyway", Label: "pKa′ beyond ±1", Value: "no", Choices: []string{"no", "yes"}, Hint: "yes: allow a poor fit"},
		{Key: "out", Label: "plan file", Value: "plan.toml", Hint: "written on the next page", Gap: true},
	}, "buffer", set)
}

// planPages are the pages of the form with the keys that lead to them.
var planPages = []struct {
	Name string
	Keys []string
}{
	{"empty", nil},
	{"filled", []string{"7.4", "down", "down"}},
	{"faults", []string{"7.4x", "down"}},
	{"choice", []string{"7.4", "down", "down", "down", "down", "down", "down", "down", "down", "right"}},
	{"buffers", []string{"7.4", "f2", "down"}},
	{"sheet", []string{"7.4", "f3"}},
	{"saved", []string{"7.4", "f3", "end", "w"}},
}

func TestPlan(t *testing.T) {
	for _, page := range planPages {
		screentest.Goldens(t, page.Name, func(w, h int) string {
			m := fullForm(&widget.Unicode)
			m.Update(tea.WindowSizeMsg{Width: w, Height: h})
			press(m, page.Keys...)
			return m.View()
		})
	}
}

// TestPlanSeesAll: at the smallest full size every line of the form is seen,
// the way out of each page is named, and nothing but the letters asked for is
// drawn.
func TestPlanSeesAll(t *testing.T) {
	for _, page := range planPages {
		m := fullForm(&widget.ASCII)
		m.Update(tea.WindowSizeMsg{Width: 60, Height: 20})
		press(m, page.Keys...)
		out := m.View()
		assert.Equal(t, len(out), utf8.RuneCountInString(out), "%s: only ASCII", page.Name)
		assert.NotContains(t, strings.ReplaceAll(out, "? keys", ""), "?", "%s: every sign has another one in ASCII", page.Name)
		assert.Contains(t, out, "Esc ", page.Name)
		rows := strings.Split(out, "\n")
		assert.NotContains(t, rows[len(rows)-1], "...", "%s: the keys are whole", page.Name)
		if page.Name == "empty" {
			assert.Contains(t, out, "pH in use")
			assert.Contains(t, out, "plan file")
			assert.Contains(t, out, "1 to 13, at the temp. of use")
		}
	}
}

// TestPlanSheetLosesNothing: every word of the sheet can be read, in its order,
// however narrow the screen is, and the cautions stay items of their own.
func TestPlanSheetLosesNothing(t *testing.T) {
	page, _ := written{}.Sheet(nil)
	for _, w := range []int{40, 60, 79, 120} {
		m := fullForm(&widget.Unicode)
		m.Update(tea.WindowSizeMsg{Width: w, Height: 200})
		press(m, "7.4", "f3")
		lines := strings.Split(m.View(), "\n")
		assert.Equal(t, strings.Fields(page), strings.Fields(strings.Join(lines[:197], "\n")), w)
		margin := ""
		if w >= 72 {
			margin = " "
		}
		assert.Contains(t, lines, margin+"    ! And a caution, set in.", w)
	}
}

// The figures of the buffer are whole at the smallest full size, in fewer letters there.
func TestPlanFiguresAreWhole(t *testing.T) {
	for _, size := range [][2]int{{60, 20}, {80, 24}} {
		m := fullForm(&widget.Unicode)
		m.Update(tea.WindowSizeMsg{Width: size[0], Height: size[1]})
		press(m, "7.4")
		for _, want := range []string{"7.50", "29 mM per pH", "−0.012", "22 mM"} {
			assert.Contains(t, m.View(), want, size)
		}
	}
}
