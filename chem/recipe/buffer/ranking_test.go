package buffer_test

import (
	"fmt"
	"strings"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/written"
	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What an expert would sign: over forty demands with what handbooks of buffers
// name for them (usual ranges of the buffers, and what they must not be used
// with; common practice, from memory), of which one has to be among the first
// two; and what must not be among the first three.
func TestRankingThatAnExpertSigns(t *testing.T) {
	const far = "carbonate oxalate sulfite 2-mercaptoethanol L-cysteine sulfate cacodylate barbital"
	for _, tc := range []struct {
		ph, temp float64
		avoid    string
		with     string
		want     string // handbook
		never    string
	}{
		{2.2, 25, "", "", "glycine phosphate", strings.Replace(far, " L-cysteine", "", 1) + " Bicine"}, // and phosphate, as in liquid chromatography
		{2.5, 25, "", "", "glycine citrate", far + " Tricine"},
		{3.0, 25, "", "", "citrate glycine", far + " HEPES formate"},
		{3.5, 25, "", "", "citrate formate", far + " HEPES"},
		{4.0, 25, "", "", "citrate acetate succinate formate", far},
		{4.5, 25, "", "", "acetate", far},
		{4.8, 25, "", "", "acetate", far},
		{5.0, 25, "", "", "acetate citrate", far},
		{5.0, 4, "", "", "acetate citrate", far},
		{5.5, 25, "", "", "citrate succinate MES", far},
		{5.5, 25, "metals", "", "MES succinate acetate", far + " citrate"},
		{6.0, 25, "", "", "MES", far},
		{6.0, 25, "metals", "MgCl2 5 mM", "MES", far + " citrate ADA"},
		{6.2, 4, "", "", "MES Bis-Tris", far},
		{6.5, 25, "", "", "MES Bis-Tris", far},
		{6.5, 37, "", "", "MES Bis-Tris PIPES phosphate", far + " HEPES"},
		{6.8, 25, "", "", "PIPES phosphate Bis-Tris imidazole MOPS", far},
		{6.8, 25, "calcium", "CaCl2 2 mM", "PIPES MOPS Bis-Tris imidazole", far + " phosphate citrate"},
		{7.0, 25, "", "", "phosphate MOPS", far},
		{7.0, 25, "calcium", "", "MOPS PIPES imidazole HEPES", far + " phosphate"},
		{7.0, 4, "temperature", "", "phosphate MOPS PIPES", far + " Tris imidazole"},
		{6.9, 25, "calcium", "MgCl2 1 mM", "PIPES", far + " phosphate citrate"},
		{7.2, 25, "", "", "MOPS phosphate HEPES", far},
		{7.2, 25, "uv", "NaCl 150 mM", "MOPS", far},
		{7.2, 37, "", "", "HEPES MOPS phosphate", far},
		{7.4, 25, "", "", "HEPES phosphate", far},
		{7.4, 37, "", "", "HEPES phosphate", far},
		{7.4, 37, "uv", "MgCl2 5 mM; CaCl2 1 mM", "HEPES", far + " phosphate"},
		{7.5, 25, "", "", "HEPES", far},
		{7.5, 4, "", "", "HEPES MOPS", far},
		{7.5, 25, "metals", "ZnCl2 10 µM", "HEPES MOPS", far + " Tricine imidazole"},
		{8.0, 25, "", "ZnCl2 1 mM", "HEPES HEPPS TAPS Tris", far + " Tricine Bicine"},
		{8.3, 25, "", "CoCl2 1 mM", "Tris TAPS", far + " Tricine Bicine"},
		{7.5, 25, "", "CoCl2 1 mM", "HEPES MOPS", far + " Tricine Bicine imidazole ADA"},
		{7.5, 25, "", "NaCl 150 mM; MgCl2 5 mM", "HEPES MOPS", far + " TAPSO DIPSO POPSO phosphate"},
		{7.4, 25, "", "CaCl2 2 mM", "HEPES MOPS", far + " phosphate POPSO"},
		{7.6, 25, "aldehydes", "", "HEPES", far + " Tris"},
		{7.8, 25, "", "", "HEPES Tris", far},
		{8.0, 25, "", "", "Tris", far + " ammonia"},
		{8.0, 4, "", "", "Tris HEPPS Tricine HEPES", far},
		{8.0, 37, "", "", "Tricine HEPPS Tris Bicine TAPS", far},
		{8.0, 25, "aldehydes", "", "HEPPS HEPES triethanolamine Tricine Bicine", far + " Tris"},
		{8.3, 25, "", "", "Tris Bicine Tricine", far},
		{8.5, 25, "", "", "Tris Bicine TAPS", far + " diethanolamine"},
		{8.5, 25, "metals", "", "TAPS Tris", far + " Bicine Tricine"},
		{8.8, 25, "", "", "Tris TAPS Bicine borate", far},
		{9.0, 25, "", "", "borate CHES", far + " diethanolamine"},
		{9.3, 25, "", "", "CHES borate glycine", far},
		{9.5, 25, "", "", "CHES glycine", far + " ammonia"},
		{9.5, 25, "diols", "", "CHES glycine", strings.ReplaceAll(far, "carbonate ", "") + " borate"}, // plates are coated in carbonate of pH 9.6
		{10.0, 25, "", "", "CAPS glycine carbonate", strings.ReplaceAll(far, "carbonate ", "")},
		{10.0, 25, "volatile", "", "CAPS glycine", far + " ammonia"},
		{10.5, 25, "", "", "CAPS", strings.ReplaceAll(far, "carbonate ", "")},
		{11.0, 25, "", "", "CAPS phosphate", strings.ReplaceAll(strings.ReplaceAll(far, "carbonate ", ""), " L-cysteine", "")},
	} {
		d := buffer.NewDemand(tc.ph)
		d.Use, d.Bench = chem.Celsius(tc.temp), 25
		for a := range strings.FieldsSeq(tc.avoid) {
			if a == "temperature" {
				d.Steady = true
			} else {
				d.Avoid = append(d.Avoid, table.Property(a))
			}
		}
		if tc.with != "" {
			r, err := written.Read(tc.with, d.Volume)
			require.NoError(t, err)
			d.With = r.Ingredients()
		}
		name := fmt.Sprintf("pH %g, %g °C, avoid %q, with %q", tc.ph, tc.temp, tc.avoid, tc.with)
		list, err := buffer.Rank(d)
		require.NoError(t, err, name)
		require.GreaterOrEqual(t, len(list), 2, name)
		words := strings.Fields(tc.want)
		first := []string{}
		for _, c := range list[:min(3, len(list))] {
			first = append(first, c.System.Name)
			assert.NotContains(t, strings.Fields(tc.never), c.System.Name, name)
		}
		assert.NotEqual(t, "Bis-Tris propane", first[0], "%s: costly, and hardly taken but for crystals", name)
		assert.True(t, has(words, first[0]) || has(words, first[1]), "%s: %v, a handbook says %v", name, first, words)
		line := name + ":"
		for i, n := range first {
			line += fmt.Sprintf(" %d. %s (%s)", i+1, n, largest(list[i]))
		}
		t.Log(line + "; handbook: " + strings.Join(words, ", "))
	}
}

// Beside copper at pH 7.4 a buffer that does not bind it lets the hydroxide fall:
// of those that are not in the list it is said.
func TestWhatIsNotListedIsExplained(t *testing.T) {
	d := buffer.NewDemand(7.4)
	r, err := written.Read("CuCl2 0.1 mM", d.Volume)
	require.NoError(t, err)
	d.With = r.Ingredients()
	list, err := buffer.Rank(d)
	require.NoError(t, err)
	missing := buffer.Missing(d, list)
	require.Len(t, missing, 2, "the hydroxide, and the phosphate")
	assert.Contains(t, missing[0], "copper hydroxide, Cu(OH)2, precipitates: HEPES, MOPS")
	d.With = nil
	assert.Empty(t, buffer.Missing(d, nil))
}

func has(list []string, x string) bool {
	for _, s := range list {
		if s == x {
			return true
		}
	}
	return false
}

// largest is the reason that costs a candidate most.
func largest(c buffer.Candidate) string {
	best := c.Why[0]
	for _, r := range c.Why {
		if r.Points > best.Points {
			best = r
		}
	}
	return fmt.Sprintf("%.2f points; most for: %s", c.Points, best.Words)
}
