package mixture_test

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/mixture"
)

// The mixture of a published table: 50 mL of 0.1 M KH2PO4 with 29.1 mL of 0.1 M NaOH,
// made up to 100 mL, is pH 7.00 at 25 °C (V. E. Bower & R. G. Bates, J. Res. NBS 55,
// 197 (1955)).
func ExampleAsked_Tell() {
	var out strings.Builder
	of := mixture.Asked{TempC: 25, ML: 100, JSON: true}
	if err := of.Tell(&out, io.Discard, []string{"KH2PO4 5 mmol", "NaOH 2.91 mmol"}); err != nil {
		fmt.Println(err)
	}
	var m struct{ PH float64 }
	_ = json.Unmarshal([]byte(out.String()), &m)
	fmt.Printf("pH %.1f", m.PH)
	// Output: pH 7.0
}

// What is in a volume may be said by concentration, and is the same as by amount.
func TestConcentrationsAreAmounts(t *testing.T) {
	ph := func(of mixture.Asked, args ...string) (m struct{ PH float64 }) {
		var out strings.Builder
		of.JSON = true
		require.NoError(t, of.Tell(&out, io.Discard, args))
		require.NoError(t, json.Unmarshal([]byte(out.String()), &m))
		return m
	}
	by := mixture.Asked{TempC: 25, ML: 500}
	assert.InDelta(t, ph(by, "Tris 25 mmol", "HCl 10 mmol").PH, ph(by, "Tris 50 mM", "HCl 1 M 10 mL").PH, 1e-6)
	none := mixture.Asked{TempC: 25}
	assert.InDelta(t, ph(by, "Tris 50 mM", "HCl 20 mM").PH, ph(none, "Tris 50 mM", "HCl 20 mM").PH, 1e-9, "concentrations need no volume")
	assert.ErrorContains(t, none.Tell(io.Discard, io.Discard, []string{"Tris 50 mM", "HCl 1 M 10 mL"}), "--ml is missing")
	assert.InDelta(t, ph(mixture.Asked{TempC: 25, ML: 1000}, "NaOH 100 mmol").PH, ph(none, "NaOH 0.1 M", "water 1 L").PH, 1e-9)
	assert.InDelta(t, ph(mixture.Asked{TempC: 25, KgWater: 1}, "KHP 50 mmol").PH, ph(none, "KHP 50 mmol", "water 1 kg").PH, 1e-9)
	open := by
	open.Open, open.AirPPM = true, 420
	assert.Less(t, ph(open, "Tris 25 mmol").PH, ph(by, "Tris 25 mmol").PH-0.5, "the air has carbon dioxide")
}

func TestRefusals(t *testing.T) {
	assert.ErrorContains(t, mixture.Asked{TempC: 25}.Tell(io.Discard, io.Discard, []string{"HEPES 20 mM", "acetate 5 mM"}), `"acetate" is as a rule acetic acid brought to a pH`, "and no volume is missing")
	for _, c := range []struct {
		of   mixture.Asked
		args []string
		says string
	}{
		{mixture.Asked{TempC: 25, ML: 100}, nil, "empty mixture"},
		{mixture.Asked{TempC: 25}, []string{"Tris 1 g"}, "--ml is missing"},
		{mixture.Asked{TempC: 25, ML: -1}, []string{"Tris 1 g"}, "--ml -1: must be"},
		{mixture.Asked{TempC: 25, ML: 1, KgWater: 1}, []string{"Tris 1 g"}, "--ml and --kg-water exclude each other"},
		{mixture.Asked{TempC: 61, ML: 100}, []string{"Tris 1 g"}, "--temp 61: must be 0 to 60"},
		{mixture.Asked{TempC: 25, ML: 100, Ideal: true, Davies: true}, []string{"Tris 1 g"}, "--ideal and --davies"},
		{mixture.Asked{TempC: 25, ML: 100, Open: true}, []string{"Tris 1 g"}, "--open-air 0"},
		{mixture.Asked{TempC: 25, KgWater: 1}, []string{"Tris 1,2 g", "HCl x mmol"}, "\"1,2\" is not a number\n\"HCl x mmol\""},
		{mixture.Asked{TempC: 25, ML: 100}, []string{"Tris -1 g"}, "below zero"},
		{mixture.Asked{TempC: 25, KgWater: 1}, []string{"Tris 1 pound"}, `unit "pound" is not known`},
		{mixture.Asked{TempC: 25, ML: 100}, []string{"sodium citrate 1 mM"}, "it may be one of several salts"},
		{mixture.Asked{TempC: 25, ML: 100}, []string{"BSA 1 mM"}, "without a molar mass"},
		{mixture.Asked{TempC: 25, ML: 100}, []string{"Trus 1 mM"}, "unknown reagent"},
	} {
		assert.ErrorContains(t, c.of.Tell(io.Discard, io.Discard, c.args), c.says)
	}
}
