package foreign

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/fit"
)

// reviewed is the review of a titration of acetic acid under a head, by its lines of text.
func reviewed(t *testing.T, head string, aim float64) (v LogReview, text string) {
	t.Helper()
	b := bytes.NewBufferString(head + "t (s),mL,pH,T (°C),remark,a,b,c,d,f,g\n")
	for i, v := range ramp(0, 0.5, 66) {
		fmt.Fprintf(b, "%d,%.2f,%.2f,25,x,1,2,3,4,6,7\n", 20*i, v, AceticAt(v))
	}
	l, err := ReadLog(b, LogOptions{})
	require.NoError(t, err)
	v = l.Review(fit.Options{})
	if aim > 0 {
		v.Passed = l.Passes(8, 0.1, v.Fit)
	}
	var out bytes.Buffer
	require.NoError(t, v.WriteText(&out))
	return v, strings.Join(strings.Fields(out.String()), " ")
}

// The review says what was read, how, what the lines above the table said, and what the curve
// gives; as lines for a screen the same.
func TestWordsOfAReview(t *testing.T) {
	v, text := reviewed(t, "NaOH 0.1 M\nsample volume 25 mL\n\n", 8)
	for _, said := range []string{
		"66 readings over 21:40, pH 2.88 to 12.12, 32.5 mL of titrant",
		"how it was read, columns separated by commas: line t (s) mL pH T (°C) remark a b c time volume pH temperature not used",
		"5 0 0.00 2.88 25 x 1 2 3 6 20 0.50", "and 3 more columns that are not used",
		"above the table: NaOH 0.1 M", "taken from there: a sample of 25 mL, a titrant of 0.1 mol/L (--sample-ml and --molar say otherwise)",
		"fastest at 16:40,", "pH 8.73: +6.84", "OVERSHOOT. At 16:40, line 55, addition 50",
		"fitted over 66 volumes, titrated with a base; residual", "titrant 0.1 mol/L, as given", "equivalence at 2", "constants are apparent",
	} {
		assert.Contains(t, text, said)
	}
	assert.NotContains(t, text, "transposed")
	assert.NotContains(t, text, "in the opposite direction")
	lines := strings.Join(v.Lines(), "\n")
	for _, said := range []string{"OVERSHOOT", "titrant 0.1 mol/L, as given\n", "above the table: a sample of 25 mL, a titrant of 0.1 mol/L"} {
		assert.Contains(t, lines, said)
	}

	_, text = reviewed(t, "", 0)
	for _, none := range []string{"above the table", "taken from there", "OVERSHOOT", "as given"} {
		assert.NotContains(t, text, none)
	}
	assert.Contains(t, text, "mol/L pK 4.", "a strength that the readings tell, with its spread")
	assert.Contains(t, text, "the strength of the titrant is not known (--molar)")
	_, text = reviewed(t, "HCl 0.1 M\n\n", 0)
	assert.Contains(t, text, "by its name the titrant is an acid, but the pH goes in the opposite direction")

	none, err := ReadLog(strings.NewReader("t (s),pH\n0,4\n10,4.1\n20,4.3\n30,4.6\n40,5\n"), LogOptions{})
	require.NoError(t, err)
	v = none.Review(fit.Options{})
	var out bytes.Buffer
	require.NoError(t, v.WriteText(&out))
	assert.Contains(t, out.String(), "5 readings over 0:40, pH 4.00 to 5.00\n", "no titrant")
	assert.Contains(t, out.String(), "the log has no volumes")
	assert.Nil(t, v.Fit)
}

// What the spread of a value makes say nothing is said to be so; a site of which nothing can be
// told is left out.
func TestRowsOfAFit(t *testing.T) {
	known, vague := func(x float64) fit.Value { return fit.Value{Value: x, SD: x / 100} }, func(x float64) fit.Value { return fit.Value{Value: x, SD: 2 * x} }
	exact := fit.Value{Value: 0.1}
	rows := func(asked float64, f fit.Result) map[string]string {
		out := map[string]string{}
		for _, r := range (&LogReview{Fit: &f, asked: fit.Options{Molar: asked}}).fitRows() {
			out[r[0]] = r[1]
		}
		return out
	}
	got := rows(0.1, fit.Result{Molar: exact, Excess: fit.Value{Value: -0.5, SD: 0.01}, Ends: []fit.Value{known(25)}, Shift: fit.Value{Value: 0.02, SD: 0.01}, Sites: []fit.Site{
		{PK: known(4.76), MMol: known(2.5), ML: known(25)}, {PK: known(6), MMol: vague(1), ML: known(10)},
		{PK: known(8), MMol: vague(1), ML: vague(10)}, {PK: vague(3), MMol: known(3), ML: known(30)}, {PK: vague(2), MMol: vague(1), ML: vague(10)}}})
	assert.Equal(t, map[string]string{
		"titrant": "0.1 mol/L, as given", "pK 4.760 ± 0.048:": "2.500 ± 0.025 mmol, 25.00 ± 0.25 mL of titrant", "pK 6.000 ± 0.060:": "10.00 ± 0.10 mL of titrant",
		"pK 8.000 ± 0.080:": "how much cannot be told", "pK not known:": "3.000 ± 0.030 mmol, 30.00 ± 0.30 mL of titrant",
		"strong acid": "0.500 ± 0.010 mmol at the start", "equivalence at": "25.00 ± 0.25 mL", "meter correction": "0.020 ± 0.010",
		"constants are apparent, at the ionic strength of the sample": ""}, got)
	got = rows(0, fit.Result{Molar: known(0.1), Excess: known(0.5)})
	assert.Equal(t, "0.1000 ± 0.0010 mol/L", got["titrant"])
	assert.Contains(t, got, "strong base")
	assert.Contains(t, got, "no equivalence point within the volumes")
	assert.NotContains(t, got, "meter correction", "it is that of the strength, which nobody gave")
	got = rows(0, fit.Result{Molar: vague(0.1), Excess: vague(0.5)})
	assert.Equal(t, "its strength cannot be told from this curve", got["titrant"])
	assert.NotContains(t, got, "strong base")
	assert.Equal(t, "0.1", spread(exact))

	why := (&LogReview{NoFit: "the log has no volumes"}).Lines()
	assert.Equal(t, []string{"no fit: the log has no volumes"}, why)
}
