package buffer_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/written"
	"example.org/halfdrop/chem/table"
)

// reason is a part of the points of a buffer, by words in it.
func reason(t *testing.T, ph float64, name, avoid, with, words string) (float64, buffer.Candidate) {
	t.Helper()
	d := buffer.NewDemand(ph)
	d.Molar, d.Buffer, d.Anyway = 0.05, name, true
	switch avoid {
	case "":
	case "temperature":
		d.Steady = true
	default:
		d.Avoid = []table.Property{table.Property(avoid)}
	}
	if with != "" {
		r, err := written.Read(with, d.Volume)
		require.NoError(t, err)
		d.With = r.Ingredients()
	}
	list, err := buffer.Rank(d)
	require.NoError(t, err, "%s at pH %g", name, ph)
	for _, r := range list[0].Why {
		if strings.Contains(r.Words, words) {
			return r.Points, list[0]
		}
	}
	require.Failf(t, "no such reason", "%s at pH %g: %q in %v", name, ph, words, list[0].Why)
	return 0, list[0]
}

// What a thing costs in the ranking, each where it can be worked out by hand: all are choices of
// this project, which the ranking of over forty demands rests on (TestRankingThatAnExpertSigns),
// and a wrong one by half is outside.
func TestWhatAThingCosts(t *testing.T) {
	for _, tc := range []struct {
		ph                       float64
		name, avoid, with, words string
		want                     float64
	}{
		{8, "Tris", "", "", "pH moves", 6 * 0.028}, // dpH/dT of Tris: R. G. Bates, Determination of pH (1973)
		{8, "Tris", "temperature", "", "pH moves", 80 * 0.028},
		{6.5, "ADA", "metals", "", "metals: ", 3},
		{6.5, "cacodylate", "metals", "", "metals, a little", 0.4},
		{6.5, "cacodylate", "", "", "seldom used as a buffer", 3},
		{7.6, "triethanolamine", "", "", "seldom in stock", 0.6},
		{9, "diethanolamine", "", "", "hardly ever in stock", 1.2},
		{6.5, "Bis-Tris", "", "", "is unverified", 0.15},
		{2.2, "Tricine", "", "", "outside the pH", 3}, // five pH, and no more than for what is no buffer
		{9.34, "ammonia", "", "", "leaves an open beaker", 4 * 0.5 * 0.5},
		{4.70, "acetate", "", "", "leaves an open beaker", 0.25 * 4 * 0.5 * 0.5},
	} {
		got, _ := reason(t, tc.ph, tc.name, tc.avoid, tc.with, tc.words)
		assert.InEpsilon(t, tc.want, got, 0.12, "%s at pH %g: %s", tc.name, tc.ph, tc.words)
	}
	d := buffer.NewDemand(9.3)
	d.Buffer, d.Have = "ammonia", []string{"ammonia"}
	list, err := buffer.Rank(d)
	require.NoError(t, err)
	for _, r := range list[0].Why {
		if strings.Contains(r.Words, "sold as a solution") {
			assert.InEpsilon(t, 0.2, r.Points, 0.12, "what cannot be weighed")
			d.Have = nil
		}
	}
	assert.Empty(t, d.Have, "it was said")
	got, c := reason(t, 7.9, "HEPES", "", "", "predicted to")
	assert.InEpsilon(t, c.Spread, got, 1e-9)
	got, c = reason(t, 7.2, "phosphate", "", "", "ionic strength")
	assert.InEpsilon(t, 0.06*(c.PerLitre/0.05-1), got, 1e-9)
	assert.Greater(t, got, 0.05)
	habit := table.HabitOf("ACES")
	got, _ = reason(t, 7.5+0.3, "ACES", "", "", "outside the pH")
	assert.InDelta(t, 0.3, habit.Outside(7.8), 1e-9)
	assert.InEpsilon(t, 0.3, got, 1e-6)
	own, most, ok := table.UseAt("imidazole", 7.2)
	require.True(t, ok)
	require.False(t, own.Most)
	got, _ = reason(t, 7.2, "imidazole", "", "", "counted recipes")
	assert.InEpsilon(t, 0.5*(1-math.Sqrt(float64(own.Recipes)/float64(most.Recipes))), got, 1e-9)
}

// A metal ion that is to be in it: two points for one that a buffer takes altogether, and one and
// a half where no constant says how much it takes.
func TestWhatTakingAMetalCosts(t *testing.T) {
	got, _ := reason(t, 2.5, "citrate", "", "ZnCl2 1 mM", "takes 34 % of the zinc")
	assert.InEpsilon(t, 2*0.34, got, 0.03)
	got, _ = reason(t, 8, "Tricine", "", "ZnCl2 1 mM", "binds zinc, how strongly is not known")
	assert.InEpsilon(t, 1.5, got, 1e-9)
}

// From where a reason is said: what leaves the beaker from a hundredth of a point on (acetic acid at
// pH 5.6, a tenth of it, and no more at 5.65), what is taken of a metal ion from 2 in 100 on (acetate and
// magnesium, by a constant of 10^1.27: 1.3 in 100 at 2 mM, 2.6 at 4 mM), and that dpH/dT is not known from
// 0.004 per °C on, which two steps that both buffer stay below (Bis-Tris propane, 0.0047 at either pKa and
// 0.0033 between them).
func TestFromWhereAReasonIsSaid(t *testing.T) {
	said := func(ph float64, name string, mM float64, with, words string) bool {
		d := buffer.NewDemand(ph)
		d.Molar, d.Buffer, d.Anyway = chem.Molarity(mM/1e3), name, true
		if with != "" {
			r, err := written.Read(with, d.Volume)
			require.NoError(t, err)
			d.With = r.Ingredients()
		}
		list, err := buffer.Rank(d)
		require.NoError(t, err)
		return slices.ContainsFunc(list[0].Why, func(r buffer.Reason) bool { return strings.Contains(r.Words, words) })
	}
	assert.True(t, said(5.6, "acetate", 50, "", "leaves an open beaker"))
	assert.False(t, said(5.65, "acetate", 50, "", "leaves an open beaker"))
	assert.False(t, said(4.7, "acetate", 2, "MgCl2 1 mM", "of the magnesium"))
	assert.True(t, said(4.7, "acetate", 4, "MgCl2 1 mM", "of the magnesium"))
	assert.True(t, said(6.7, "Bis-Tris propane", 50, "", "temperature is not known"))
	assert.False(t, said(7.9, "Bis-Tris propane", 50, "", "temperature is not known"))
}

// DTT goes in once the pH is set where it moves that by less than half of the tolerance: at pH 8 a mole of
// it has 10^(8 − 9.26) protons less, so that in a buffer of 5.6 mM per pH 1.8 mM move it by 0.017 of
// a tolerance of 0.05, and 3.4 mM by 0.033.
func TestHowMuchCanGoInLast(t *testing.T) {
	dtt, err := table.ByAmount("DTT")
	require.NoError(t, err)
	d := buffer.NewDemand(8)
	d.Volume = 1
	assert.True(t, d.CanWait(dtt, 0.0018, 0.0056))
	assert.False(t, d.CanWait(dtt, 0.0034, 0.0056))
}

// An acid is one at a pH where a tenth of it has given its proton: formic acid, pK 3.75, has 0.06 at
// pH 2.6 and 0.12 at pH 2.9, by 1/(1 + 10^(pK − pH)).
func TestFromWhereAnAcidIsOne(t *testing.T) {
	for ph, is := range map[float64]bool{2.6: false, 2.88: true} {
		d := buffer.NewDemand(ph)
		d.Acid = "formic acid"
		_, _, err := d.Strong()
		assert.Equal(t, is, err == nil, "pH %g: %v", ph, err)
	}
}
