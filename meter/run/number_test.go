package run_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
)

// Notes of the plate are read as they are typed, refused when they are about
// nothing of the plan, and add up.
func TestNotes(t *testing.T) {
	s, err := run.Open(first(tris()))
	require.NoError(t, err)
	name := s.Setup.Weighed[0].Reagent.Name
	for text, want := range map[string]journal.Note{
		"meter M-3":           {Meter: "M-3"},
		"Thermometer  T 9":    {Thermometer: "T 9"},
		name + " 3.029 g":     {Weighed: []journal.Weighing{{Reagent: name, Grams: 3.029}}},
		name + " 12,5 mg":     {Weighed: []journal.Weighing{{Reagent: name, Grams: 0.0125}}},
		name + " lot A17":     {Weighed: []journal.Weighing{{Reagent: name, Lot: "A17"}}},
		name + " 3 g lot A 1": {Weighed: []journal.Weighing{{Reagent: name, Grams: 3, Lot: "A 1"}}},
	} {
		n, err := s.ParseNote(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, n, text)
	}
	for _, text := range []string{"", "meter", "unobtainium 3 g", "hello", name} {
		_, err := s.ParseNote(text)
		assert.Error(t, err, text)
	}
	n := journal.Note{Meter: "a", Weighed: []journal.Weighing{{Reagent: "X", Grams: 1}}}.With(journal.Note{Electrode: "b", Weighed: []journal.Weighing{{Reagent: "X", Lot: "L"}}})
	assert.Equal(t, journal.Note{Meter: "a", Electrode: "b", Weighed: []journal.Weighing{{Reagent: "X", Grams: 1, Lot: "L"}}}, n)
}
