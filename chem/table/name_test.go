package table_test

import (
	"testing"

	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every short name means something that is there, or says that it is not.
func TestShortNamesMeanSomething(t *testing.T) {
	for _, name := range []string{"EDTA", "ATP", "TCEP", "guanidine", "azide"} {
		jar, ok := table.Taken(name)
		require.True(t, ok, name)
		r, err := table.ByAmount(name)
		require.NoError(t, err, name)
		assert.Contains(t, jar, r.Name)
	}
	for name, want := range map[string][2]string{"Tris-HCl": {"Tris", "hydrochloric acid"}, "sodium phosphate": {"monosodium phosphate", "sodium hydroxide"}, "Potassium Phosphate": {"monopotassium phosphate", "potassium hydroxide"}, "HEPES-KOH": {"HEPES", "potassium hydroxide"}} {
		reagent, titrant, ok := table.Brought(name)
		require.True(t, ok, name)
		r, err := table.ByAmount(reagent)
		require.NoError(t, err)
		b, err := table.ByAmount(titrant)
		require.NoError(t, err)
		assert.Equal(t, want, [2]string{r.Name, b.Name})
	}
	for _, name := range table.ShortNames() {
		if r, b, ok := table.Brought(name); ok {
			for _, n := range []string{r, b} {
				_, err := table.ByAmount(n)
				require.NoError(t, err, "%s means %s", name, n)
			}
		}
		if r, ok := table.Taken(name); ok {
			_, err := table.ByAmount(r)
			require.NoError(t, err, "%s means %s", name, r)
		}
	}
}

// A name that stands for several things is a question, in every way to ask.
func TestAmbiguousNamesAreAsked(t *testing.T) {
	for _, name := range []string{"AMP", "amp", "ADP", "NEM", "TEA", "PEG"} {
		var q *table.AmbiguousError
		_, err := table.Find(name)
		require.ErrorAs(t, err, &q, name)
		assert.GreaterOrEqual(t, len(q.Candidates), 2)
		_, err = table.ByAmount(name)
		require.ErrorAs(t, err, &q, name)
		_, _, err = table.FromMass(name, 1, 1)
		require.ErrorAs(t, err, &q, name)
	}
	r, err := table.ByAmount("2-amino-2-methyl-1-propanol")
	require.NoError(t, err)
	assert.Equal(t, "AMP", r.Parts[0].System.Name)
}

// What laboratories take: Tris above 8, HEPES from 7 to 8, MES near 6.2, counted
// in public entries of crystallised proteins.
func TestHabits(t *testing.T) {
	for _, tc := range []struct {
		ph   float64
		most string
	}{{8.7, "Tris"}, {7.6, "HEPES"}, {6.2, "MES"}, {4.7, "acetate"}, {5.7, "citrate"}} {
		own, most, ok := table.UseAt(tc.most, tc.ph)
		require.True(t, ok)
		assert.Equal(t, most, own, tc.most)
		assert.Greater(t, own.Of, 100)
	}
	own, most, ok := table.UseAt("POPSO", 7.6)
	require.True(t, ok)
	assert.True(t, own.Most, "not on the list: no oftener than the last that is")
	assert.Equal(t, 7, own.Recipes)
	assert.Equal(t, 422, most.Recipes)
	assert.Equal(t, table.Odd, table.HabitOf("oxalate").Standing)
	assert.Equal(t, table.Rare, table.HabitOf("diethanolamine").Standing)
	assert.Zero(t, table.HabitOf("HEPES").Outside(7.5))
	assert.Greater(t, table.HabitOf("HEPES").Outside(3), 3.0)
	assert.Zero(t, table.HabitOf("glycine").Outside(9.6))
}

// Known says what Find has an answer to.
func TestKnownIsWhatIsFound(t *testing.T) {
	for _, name := range []string{"Tris", "EDTA", "AMP", "MgCl2 x 6 H2O", "HEPES (Na salt)", "Trus", "", "PEG"} {
		_, err := table.Find(name)
		assert.Equal(t, err == nil, table.Known(name), name)
	}
}

// German names are those of the trade, hydrates and short names included; English
// ones mean what they meant.
func TestGermanNames(t *testing.T) {
	for name, want := range map[string]string{
		"Natriumchlorid": "sodium chloride", "Salzsäure": "hydrochloric acid", "Salzsaeure": "hydrochloric acid", "Essigsäure": "acetic acid", "Eisessig": "acetic acid",
		"Natronlauge": "sodium hydroxide", "Kalilauge": "potassium hydroxide", "Dinatriumhydrogenphosphat": "disodium phosphate",
		"Kaliumdihydrogenphosphat": "monopotassium phosphate", "Natriumdihydrogenphosphat": "monosodium phosphate", "Dikaliumhydrogenphosphat": "dipotassium phosphate",
		"Calciumchlorid": "calcium chloride", "Zinkchlorid": "zinc chloride", "Natriumhydrogencarbonat": "sodium hydrogen carbonate", "Trinatriumcitrat": "trisodium citrate",
		"Zitronensäure": "citric acid", "Ammoniumsulfat": "ammonium sulfate", "Harnstoff": "urea", "Natriumazid": "sodium azide", "Glycin": "glycine", "Imidazol": "imidazole",
		"Kaliumhydroxid": "potassium hydroxide", "Mangan(II)-chlorid": "manganese(II) chloride", "Kupfer(II)-sulfat": "copper(II) sulfate", "Natriumacetat": "sodium acetate",
	} {
		r, err := table.ByAmount(name)
		require.NoError(t, err, name)
		assert.Equal(t, want, r.Name, name)
	}
	for name, want := range map[string]string{"Magnesiumchlorid-Hexahydrat": "hexahydrate", "Dinatriumhydrogenphosphat Dodecahydrat": "dodecahydrate", "Natriumacetat, wasserfrei": "anhydrous"} {
		r, err := table.ByMass(name)
		require.NoError(t, err, name)
		assert.Equal(t, want, r.Form, name)
	}
	reagent, titrant, ok := table.Brought("Natriumphosphat-Puffer")
	require.True(t, ok)
	assert.Equal(t, []string{"monosodium phosphate", "NaOH"}, []string{reagent, titrant})
	for _, r := range table.Reagents() {
		list, err := table.Find(r.FullName())
		require.NoError(t, err, r.FullName())
		assert.Contains(t, list, r)
	}
}
