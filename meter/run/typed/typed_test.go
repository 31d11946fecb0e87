package typed_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/runtest"
	"example.org/halfdrop/meter/run/typed"
)

func TestBottle(t *testing.T) {
	for text, want := range map[string]string{
		"NaOH 0.1 M": "NaOH 0.1 M", "NaOH 0.1": "NaOH 0.1 M", "acetic acid 0,5 M": "acetic acid 0.5 M", "KOH 0.5M, 40 uL": "KOH 0.5 M",
	} {
		b, err := typed.Bottle(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, b.Name)
	}
	b, _ := typed.Bottle("KOH 0.5 M, 40 µL")
	assert.Equal(t, 40.0, *b.DropUL)
	b, err := typed.Bottle("KOH 0,5 M, 40 µL, bottle B 7, opened 2026-11-20, dropper blue")
	require.NoError(t, err)
	assert.Equal(t, recipe.Titrant{Name: "KOH 0.5 M", Reagent: "KOH", Molar: runtest.Num(0.5), DropUL: runtest.Num(40), Bottle: "B 7", Opened: "2026-11-20", Dropper: "blue"}, b)
	for _, bad := range []string{"", "NaOH", "NaOH 1 M, bottle", "NaOH 1 M, blue", "NaOH 1 M, 40 µL, opened", "0.1", "NaOH strong", "NaOH M", "NaOH 1 M, big"} {
		_, err := typed.Bottle(bad)
		assert.Error(t, err, bad)
	}
}

// Notes of the plate are read as they are typed, refused when they are about
// nothing of the plan, and add up.
func TestNotes(t *testing.T) {
	setup, err := recipe.Compile(runtest.Tris())
	require.NoError(t, err)
	name := setup.Weighed[0].Reagent.Name
	for text, want := range map[string]journal.Note{
		"meter M-3":           {Meter: "M-3"},
		"Thermometer  T 9":    {Thermometer: "T 9"},
		name + " 3.029 g":     {Weighed: []journal.Weighing{{Reagent: name, Grams: 3.029}}},
		name + " 12,5 mg":     {Weighed: []journal.Weighing{{Reagent: name, Grams: 0.0125}}},
		name + " lot A17":     {Weighed: []journal.Weighing{{Reagent: name, Lot: "A17"}}},
		name + " 3 g lot A 1": {Weighed: []journal.Weighing{{Reagent: name, Grams: 3, Lot: "A 1"}}},
	} {
		n, err := typed.Note(setup, text)
		require.NoError(t, err, text)
		assert.Equal(t, want, n, text)
	}
	for _, text := range []string{"", "meter", "unobtainium 3 g", "hello", name} {
		_, err := typed.Note(setup, text)
		assert.Error(t, err, text)
	}
	n := journal.Note{Meter: "a", Weighed: []journal.Weighing{{Reagent: "X", Grams: 1}}}.With(journal.Note{Electrode: "b", Weighed: []journal.Weighing{{Reagent: "X", Lot: "L"}}})
	assert.Equal(t, journal.Note{Meter: "a", Electrode: "b", Weighed: []journal.Weighing{{Reagent: "X", Grams: 1, Lot: "L"}}}, n)
}

// A mass that is not the plan's changes nothing of what is computed: that is said. 1.0 mmol of
// Tris is 121 mg (common practice, no source).
func TestAMassThatIsNotThePlans(t *testing.T) {
	plan := runtest.Tris()
	mmol := *plan.Weighed[0].MMol
	setup, err := recipe.Compile(plan)
	require.NoError(t, err)
	against := func(times float64) string {
		return typed.Against(setup, journal.Note{Weighed: []journal.Weighing{{Reagent: setup.Weighed[0].Reagent.Name, Grams: times * 0.12114 * mmol}}})
	}
	for _, times := range []float64{0.5, 0.94, 1.06, 2} {
		assert.Regexp(t, `^the plan has \d+\.\d+ g, which still counts`, against(times), times)
	}
	for _, times := range []float64{0.96, 0.985, 1, 1.04} {
		assert.Empty(t, against(times), times)
	}
	assert.Empty(t, typed.Against(setup, journal.Note{Weighed: []journal.Weighing{{Reagent: setup.Weighed[0].Reagent.Name, Lot: "A17"}}}))
	grams := 1.1 * 0.12114 * mmol // of a jar of 91 %
	pure := 91.0
	plan.Weighed[0].MMol, plan.Weighed[0].Grams, plan.Weighed[0].PurityPct = nil, &grams, &pure
	setup, err = recipe.Compile(plan)
	require.NoError(t, err)
	assert.Empty(t, against(1.1))
	assert.NotEmpty(t, against(1))
}

// A value is asked about where what the fingers may have meant is near to what should be,
// and it is not.
func TestSlip(t *testing.T) {
	for name, tt := range map[string]struct {
		ph, at, sd float64
		meant      string // empty when nothing is asked
		never      bool
		from       float64 // where the reading comes from; 0 when it is not on its way
		stands     bool
	}{
		"as it should be":      {ph: 7.42, at: 7.40, sd: 0.02},
		"digits exchanged":     {ph: 7.24, at: 7.42, sd: 0.02, meant: "7.42"},
		"the point":            {ph: 0.74, at: 7.42, sd: 0.02, meant: "7.4"},
		"far, and no slip":     {ph: 5.11, at: 7.42, sd: 0.02},
		"nobody knows":         {ph: 7.24, at: 7.42, sd: 0.31},
		"no pH":                {ph: 74.2, at: 7.42, sd: 0.02, meant: "7.42", never: true},
		"no pH, and unsure":    {ph: 74.2, at: 7.42, sd: 9, meant: "7.42", never: true},
		"too near to be one":   {ph: 7.12, at: 7.21, sd: 0.02},
		"within three spreads": {ph: 7.24, at: 7.42, sd: 0.08},
		"beyond them":          {ph: 7.24, at: 7.42, sd: 0.05, meant: "7.42"},
		"and not what was due": {ph: 7.05, at: 7.43, sd: 0.02}, // nor is 7.50
		"near, of a vague one": {ph: 7.05, at: 7.42, sd: 0.06, meant: "7.50"},
		"not that near":        {ph: 5.70, at: 7.39, sd: 0.06},  // nor is 7.50
		"not much nearer":      {ph: 7.14, at: 7.352, sd: 0.02}, // nor is 7.41
		"five times nearer":    {ph: 7.14, at: 7.37, sd: 0.02, meant: "7.41"},
		"far, though vague":    {ph: 0.74, at: 7.42, sd: 0.28, meant: "7.4"},
		"far, and too vague":   {ph: 0.74, at: 7.42, sd: 0.32},
		"above 14":             {ph: 14.30, at: 13.40, sd: 0.02, meant: "13.40", never: true},
		"on its way":           {ph: 10.03, at: 10.34, sd: 0.02, from: 9.6},
		"and down":             {ph: 10.30, at: 10.03, sd: 0.02, from: 10.9},
		"not moving":           {ph: 10.03, at: 10.34, sd: 0.02, meant: "10.30"},
		"said to stand":        {ph: 10.03, at: 10.34, sd: 0.02, from: 9.6, stands: true, meant: "10.30"},
		"before its way":       {ph: 9.48, at: 9.84, sd: 0.02, from: 9.6, meant: "9.84"},
		"beyond its way":       {ph: 7.42, at: 7.24, sd: 0.02, from: 6.6, meant: "7.24"},
	} {
		t.Run(name, func(t *testing.T) {
			due := typed.Due{PH: tt.at, SD: tt.sd, From: tt.from, To: tt.at}
			if tt.from == 0 {
				due.From, due.To = math.NaN(), math.NaN()
			}
			d := typed.Slip(typed.Value{PH: tt.ph, Decimals: 2, Stands: tt.stands}, due)
			if tt.meant == "" {
				assert.Nil(t, d)
				return
			}
			require.NotNil(t, d)
			assert.Equal(t, tt.never, d.Never)
			assert.Contains(t, d.Error(), tt.meant)
		})
	}
}
