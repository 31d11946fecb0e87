package sheet_test

import (
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	recipes "example.org/halfdrop/chem/recipe/written"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/sheet"
)

// drafted is the recipe of a buffer, 500 mL of it.
func drafted(t *testing.T, name string, ph float64, molar chem.Molarity, way buffer.Way) (*prepare.Draft, []buffer.Candidate) {
	t.Helper()
	d := buffer.NewDemand(ph)
	d.Buffer, d.Molar, d.Volume, d.Way = name, molar, 500*chem.Millilitre, way
	list, err := buffer.Rank(d)
	require.NoError(t, err)
	best, err := buffer.Pick(d, list)
	require.NoError(t, err)
	x, err := prepare.For(d, best)
	require.NoError(t, err)
	return x, list
}

func written(t *testing.T, p sheet.Page, x *prepare.Draft, list []buffer.Candidate) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, sheet.Write(&b, p, x, list, "hepes.toml"))
	return b.String()
}

// By hand: 0.050 mol/L · 0.5 L · 238.30 g/mol of HEPES (molar mass from its formula
// C8H18N2O4S and the atomic weights) = 5.958 g; card, sheet, notebook and JSON have the same.
func TestWhatIsWeighedIsTheSameEverywhere(t *testing.T) {
	x, list := drafted(t, "HEPES", 7.4, 0.05, buffer.ByTitrant)
	text, notebook := written(t, sheet.Plain, x, list), written(t, sheet.Markdown{}, x, list)
	assert.Regexp(t, `weigh +5\.958 g +HEPES`, text)
	assert.Regexp(t, `\| weigh \| 5\.958 g \| HEPES`, notebook)
	assert.Contains(t, text, "hepes.toml")
	var out strings.Builder
	require.NoError(t, sheet.WriteJSON(&out, x, list, "hepes.toml"))
	var j sheet.DraftJSON
	require.NoError(t, json.Unmarshal([]byte(out.String()), &j))
	assert.Equal(t, "hepes.toml", j.PlanFile)
	require.Len(t, x.Measures, 1)
	assert.InDelta(t, 5.958, x.Measures[0].Mass.Grams(), 0.001)

	number := regexp.MustCompile(`\d+(\.\d+)?`)
	in := map[string]bool{}
	for _, n := range number.FindAllString(text, -1) {
		in[n] = true
	}
	for _, n := range number.FindAllString(notebook, -1) {
		assert.True(t, in[n], "%s stands in the notebook and not on the terminal", n)
	}
}

// No line is wider than a terminal, and a notebook has no letter that Markdown would take
// for itself.
func TestPagesFit(t *testing.T) {
	for _, c := range []struct {
		name  string
		ph    float64
		molar chem.Molarity
		way   buffer.Way
	}{
		{"HEPES", 7.4, 0.05, buffer.ByTitrant}, {"phosphate", 7.0, 0.1, buffer.BySalts}, {"Tris", 8.5, 0.5, buffer.ByTitrant},
		{"citrate", 5.5, 0.02, buffer.ByTitrant}, {"CAPS", 10.2, 0.2, buffer.ByTitrant}, {"acetate", 4.7, 1, buffer.BySalts},
	} {
		name := fmt.Sprintf("%s %g", c.name, c.ph)
		x, list := drafted(t, c.name, c.ph, c.molar, c.way)
		text := written(t, sheet.Plain, x, list)
		require.Greater(t, strings.Count(text, "\n"), 20, name)
		for _, line := range strings.Split(text, "\n") {
			assert.LessOrEqual(t, lipgloss.Width(line), 79, "%s: %s", name, line)
			assert.Equal(t, strings.TrimRight(line, " "), line, "%s: blanks at the end", name)
		}
		for _, line := range strings.Split(written(t, sheet.Markdown{}, x, list), "\n") {
			line = strings.Replace(line, "**Caution:**", "Caution:", 1) // meant to stand out
			assert.NotRegexp(t, `(^|[^\\])[*_<]`, line, name)
		}
	}
}

// A table keeps its columns one below the other, the first and the last to the left, and is
// cut at the width of the page; letters of two columns count twice.
func TestTable(t *testing.T) {
	head, rows := []string{"buffer", "pKa′", "from"}, [][]string{{"MES", "6.1", "MES, base"}, {"日本", "10.25", "x"}}
	assert.Equal(t, "buffer   pKa′  from\nMES       6.1  MES, base\n日本    10.25  x\n", sheet.Text{Width: 79}.Table(head, rows))
	assert.Equal(t, "buffer   p…\nMES       …\n日本    10…\n", sheet.Text{Width: 11}.Table(head, rows))
	assert.Equal(t, "| buffer | a\\|b |\n| --- | --- |\n| \\*x\\_ | \\<1 |\n", sheet.Markdown{}.Table([]string{"buffer", "a|b"}, [][]string{{"*x_", "<1"}}))
}

// 50 mL of 0.1 M KH2PO4 with 29.1 mL of 0.1 M NaOH, made up to 100 mL, is pH 7.00 at 25 °C
// (V. E. Bower & R. G. Bates, J. Res. NBS 55, 197 (1955)); words and JSON say the same.
func TestMixture(t *testing.T) {
	s := chem.Solution{Volume: 100 * chem.Millilitre, Temp: 25}
	for name, n := range map[string]chem.Amount{"KH2PO4": 5 * chem.Millimole, "NaOH": 2.91 * chem.Millimole} {
		r, err := table.ByAmount(name)
		require.NoError(t, err)
		s = chem.Mix(s, r.Dissolved(n).At(25))
	}
	s.Volume = 100 * chem.Millilitre
	r, err := solved.Describe(s)
	require.NoError(t, err)
	var words, line strings.Builder
	require.NoError(t, sheet.WriteMixture(&words, r, true))
	require.NoError(t, sheet.WriteMixtureJSON(&line, r, true))
	var j sheet.MixtureJSON
	require.NoError(t, json.Unmarshal([]byte(line.String()), &j))
	assert.InDelta(t, 7.00, j.PH, 0.02)
	assert.Contains(t, words.String(), fmt.Sprintf("pH                   %.3f", j.PH))
	assert.Equal(t, 1, strings.Count(line.String(), "\n"), "one line")
	assert.Contains(t, words.String(), "H2PO4-")
	require.NotEmpty(t, j.Species)
}

// Where the form that was ranked leaves no room under the mark, the table of buffers has the
// form that is weighed: 3 M acetate from its sodium salt, pKa′ 4.59 and not that of the acid.
func TestTheTableHasWhatIsMade(t *testing.T) {
	x, list := drafted(t, "acetate", 5.2, 3, buffer.ByTitrant)
	text := written(t, sheet.Plain, x, list)
	assert.Regexp(t, `acetate +4\.59 +.*acid to sodium acetate`, text)
	assert.Contains(t, text, "pKa′ 4.59 is")
}

// What a slope with temperature and a free metal ion are worth is said where a heat is
// estimated or a ligand binds it, and not where it would be said of everything: nor twice
// nor half as wide.
func TestWhatIsVagueIsSaid(t *testing.T) {
	for _, tc := range []struct {
		parts map[string]chem.Amount
		words string
		said  bool
	}{
		{map[string]chem.Amount{"acetic acid": 20, "NaOH": 18, "CaCl2": 5}, "(± 3 %)", false}, // 2.8 %
		{map[string]chem.Amount{"phosphoric acid": 2, "NaOH": 3.5, "MgCl2": 1}, "(± 6 %)", true},
		{map[string]chem.Amount{"HEPES": 20, "NaOH": 10, "MgCl2": 5}, "±", false},
		{map[string]chem.Amount{"Bis-Tris propane": 50, "HCl": 50}, " ± 0.003 per °C", true},
		{map[string]chem.Amount{"Bis-Tris propane": 40, "HEPES": 20, "HCl": 24}, " ± 0.002 per °C", false},
	} {
		s := chem.Solution{Volume: chem.Litre, Temp: 25}
		for name, n := range tc.parts {
			r, err := table.ByAmount(name)
			require.NoError(t, err)
			s = chem.Mix(s, r.Dissolved(n*chem.Millimole).At(25))
		}
		r, err := solved.Describe(s)
		require.NoError(t, err)
		var words strings.Builder
		require.NoError(t, sheet.WriteMixture(&words, r, false))
		lines := strings.SplitN(words.String(), "\n", 2)[1] // the pH has its own
		if strings.HasPrefix(tc.words, "(") || tc.words == "±" {
			lines = lines[strings.Index(lines, "free "):]
		}
		assert.Equal(t, tc.said, strings.Contains(lines, tc.words), "%v: %s", tc.parts, lines)
		t.Logf("%v: %s, per degree ± %.4f, free %v", tc.parts, tc.words, r.Doubts.PerDegree, r.Free)
	}
}

// What waits until the pH is set does so in the card, in the lines below it and in what a
// program reads, as in the steps: azide that goes in before the acid is a poisonous gas.
func TestNothingLateGoesInBeforeTheAcid(t *testing.T) {
	for _, way := range []buffer.Way{buffer.ByTitrant, buffer.BySalts} {
		d := buffer.NewDemand(8)
		r, err := recipes.Read("NaCl 10 mM; NaN3 50 mM", d.Volume)
		require.NoError(t, err)
		d.Buffer, d.Volume, d.Way, d.With = "Tris", 500*chem.Millilitre, way, r.Ingredients()
		list, err := buffer.Rank(d)
		require.NoError(t, err)
		x, err := prepare.For(d, list[0])
		require.NoError(t, err)
		at := map[string]int{}
		for i, row := range sheet.Card(x) {
			at[row[0]+" "+row[2]] = i
			at[row[0]] = i
		}
		azide, ok := at["weigh sodium azide, once the pH is set"]
		require.True(t, ok, "%v", at)
		assert.Greater(t, azide, at["water"])
		assert.Less(t, azide, at["make up"])
		assert.Less(t, at["weigh sodium chloride"], at["water"])
		if way == buffer.ByTitrant {
			assert.Greater(t, azide, at["titrate"])
		}
		text := strings.Join(strings.Fields(written(t, sheet.Plain, x, list)), " ")
		body := text[:strings.Index(text, "Bench sheet")]
		// In the line of the way and in that of the other one.
		assert.Equal(t, 2, strings.Count(body, "; after the pH is set: 1.625 g of sodium azide"), body)
		assert.Equal(t, 2, strings.Count(body, "g of sodium azide"), body)
		var out strings.Builder
		require.NoError(t, sheet.WriteJSON(&out, x, list, ""))
		assert.Regexp(t, `"reagent":"sodium azide"[^}]*"once_the_ph_is_set":true`, out.String())
		assert.Equal(t, 1, strings.Count(out.String(), `"once_the_ph_is_set"`))
	}
}
