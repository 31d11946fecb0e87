package table_test

import (
	"slices"
	"strings"
	"testing"

	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestEverySystemHasEveryPropertyWithItsOrigin(t *testing.T) {
	for _, s := range table.Systems() {
		if table.KindOf(s.Name) != table.Buffer {
			continue // nobody asks that of a metal ion
		}
		for _, p := range table.PropertyNames() {
			x, ok := table.TraitOf(s.Name, p)
			require.True(t, ok, "properties.csv has no row %s,%s", s.Name, p)
			assert.NotEmpty(t, x.Source)
			assert.Contains(t, []table.Origin{table.Seen, table.Memory, table.Practice}, x.By)
		}
		assert.NotEmpty(t, table.HabitOf(s.Name).Source, "practice.csv has no row %s", s.Name)
	}
	_, ok := table.TraitOf("water", table.UV)
	assert.False(t, ok)
}

// What the trade says: Tris condenses with aldehydes, phosphate precipitates
// calcium (both read in teaching pages), borate binds cis-diols, citrate
// chelates metals, imidazole and histidine bind metals (from memory); HEPES
// and MES hardly bind any (Good et al. 1966, from memory).
func TestPropertiesOfTheTrade(t *testing.T) {
	for _, tc := range []struct {
		system string
		p      table.Property
		want   table.Grade
	}{
		{"Tris", table.Aldehydes, table.Yes},
		{"phosphate", table.Calcium, table.Yes},
		{"borate", table.Diols, table.Yes},
		{"citrate", table.Metals, table.Yes},
		{"imidazole", table.Metals, table.Yes},
		{"L-histidine", table.Metals, table.Yes},
		{"HEPES", table.Metals, table.No},
		{"MES", table.Metals, table.No},
		{"ammonia", table.Volatile, table.Yes},
		{"barbital", table.UV, table.Yes},
	} {
		x, ok := table.TraitOf(tc.system, tc.p)
		require.True(t, ok)
		assert.Equal(t, tc.want, x.Grade, "%s %s", tc.system, tc.p)
	}
}

// What takes a metal ion with a constant above 10⁶ is not said to bind it a little.
func TestMetalsAsTheConstantsSay(t *testing.T) {
	for _, s := range table.Systems() {
		if table.KindOf(s.Name) != table.Buffer {
			continue
		}
		x, ok := table.TraitOf(s.Name, table.Metals)
		require.True(t, ok, "properties.csv has no row %s,metals", s.Name)
		for _, c := range s.Complexes {
			if c.Metal != "" && table.KindOf(c.Metal) == table.Metal && !strings.HasPrefix(c.Metal, "iron") && c.Metals == 1 && c.Ligands == 1 && c.Protons == 0 && c.LogB > 6 {
				assert.Equal(t, table.Yes, x.Grade, "%s takes %s with log K %.1f", s.Name, c.Metal, c.LogB)
			}
		}
	}
}

func TestDamagedPropertiesAreRefused(t *testing.T) {
	head := "system,property,grade,words,source,by\n"
	for name, row := range map[string]string{
		"no source":        "Tris,uv,no,clear,,seen",
		"unknown system":   "Trisk,uv,no,clear,somewhere,seen",
		"unknown property": "Tris,smell,no,none,somewhere,seen",
		"unknown grade":    "Tris,uv,perhaps,clear,somewhere,seen",
		"unknown origin":   "Tris,uv,no,clear,somewhere,heard",
		"given twice":      "Tris,uv,no,clear,somewhere,seen\nTris,uv,yes,not,somewhere,seen",
	} {
		assert.Error(t, table.ReadTraits([]byte(head+row+"\n")), name)
	}
	assert.NoError(t, table.ReadTraits([]byte(head+"Tris,uv,no,clear,somewhere,seen\n")))
}

const systemsHead = "system,kind,step,acid_charge,pk,dh_kj,dcp_j,shift,source,pk_by,dh_by,dcp_by,second,note\n"

func TestARowWithoutASourceIsRefused(t *testing.T) {
	require.NoError(t, table.ReadSystems([]byte(systemsHead+"x,buffer,1,0,4.2,,,,A journal 1 (2001),seen,,,none,\n")))
	for _, row := range []string{
		"x,buffer,1,0,4.2,,,,,seen,,,none,\n",
		"x,buffer,1,0,4.2,,,, ,seen,,,none,\n",
		"x,buffer,1,0,4.2,,,,A journal 1 (2001),,,,none,\n",
		"x,buffer,1,0,4.2,3,,,A journal 1 (2001),seen,,,none,\n",
		"x,buffer,1,0,4.2,,,,A journal 1 (2001),seen,,,many,\n",
		"x,buffer,1,zero,4.2,,,,A journal 1 (2001),seen,,,none,\n",
		"x,salt,1,0,4.2,,,,A journal 1 (2001),seen,,,none,\n",
	} {
		require.Error(t, table.ReadSystems([]byte(systemsHead+row)), row)
	}
	const head = "name,synonyms,formula,form,supplies,stocks,ml,caution,note,source,by,late\n"
	require.NoError(t, table.ReadReagents([]byte(head+"salt,,NaCl,salt,Na+ 1 & Cl- 1,,,,,A list,seen,\n")))
	for _, row := range []string{
		"salt,,NaCl,salt,Na+ 1 & Cl- 1,,,,,,seen,\n",
		"salt,,NaCl,salt,Na+ 1 & Cl- 1,,,,,A list,,\n",
		"salt,,NaXx,salt,Na+ 1,,,,,A list,seen,\n",
		"salt,,NaCl,salt,Na+ 0,,,,,A list,seen,\n",
		"salt,,NaCl,salt,sodium 1,,,,,A list,seen,\n",
		"salt,,NaCl,salt,Na+ 1,strong,,,,A list,seen,\n",
		"sugar,,C6H12O6,solid,inert 1,,,,,A list,seen,\n",
	} {
		require.Error(t, table.ReadReagents([]byte(head+row)), row)
	}
}

// Without its short names the list of reagents is not to be had: "EDTA" would be
// another jar, and "AMP" no question.
func TestAFaultyShortNameIsSaid(t *testing.T) {
	const head = "name,kind,means,titrant,words,source\n"
	require.NoError(t, table.LoadNames([]byte(head+"EDTA,taken,EDTA disodium salt dihydrate,,the usual jar,A list\n")))
	for _, row := range []string{
		"EDTA,taken,EDTA disodium salt dihydrate,,the usual jar,\n",
		"EDTA,taken,,,the usual jar,A list\n",
		"EDTA,meant,EDTA disodium salt dihydrate,,the usual jar,A list\n",
		"NaPi,brought,monosodium phosphate,,brought to its pH,A list\n",
		"EDTA,taken,EDTA disodium salt dihydrate,the usual jar,A list\n",
		"EDTA,taken,\"EDTA,,the usual jar,A list\n",
	} {
		require.ErrorContains(t, table.LoadNames([]byte(head+row)), "table: names", row)
	}
}

// Buffers at the pH at which protocols have them lie in the range in which they are said to be taken
// (whole recipes of Cold Spring Harbor Protocols and of makers, and fixation for microscopy in
// cacodylate, from memory).
func TestRangesHoldWhatProtocolsHave(t *testing.T) {
	for system, list := range map[string][]float64{
		"cacodylate": {5.0, 7.2, 7.4}, "phosphate": {6.0, 7.4, 8.0}, "acetate": {4.0, 5.2}, "citrate": {3.0, 6.0}, "glycine": {2.5, 9.5, 10}, "carbonate": {9.6}, "borate": {8.5, 9.0},
		"Tris": {7.4, 8.8}, "HEPES": {7.05, 7.9}, "PIPES": {6.8}, "MES": {6.0}, "MOPS": {7.0}, "CAPS": {10.5}, "L-histidine": {6.0}, "imidazole": {7.5},
	} {
		for _, ph := range list {
			assert.True(t, slices.ContainsFunc(table.HabitOf(system).Ranges, func(r [2]float64) bool { return r[0] <= ph && ph <= r[1] }), "%s at pH %g", system, ph)
		}
	}
}
