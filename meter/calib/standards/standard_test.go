package standards_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib/standards"
)

// Against published values that the table does not hold: between its rows, or
// from another publication for the same liquid.
func TestStandardsAgainstOthers(t *testing.T) {
	const (
		manual = "meter manual, technical set, printed for nominal 4.00/4.01"
		pheu11 = "Ph. Eur. 11.0, 2.2.3, table 2"
		later  = "later listings, 7.413 at 25 °C"
		bottle = "bottle table of a common set, from memory"
	)
	for _, tc := range []struct {
		name string
		set  standards.Set
		temp chem.Celsius
		want float64
		tol  float64 // 0.005 for the rounding of each table
		src  string
	}{
		{"4.01", standards.Technical, 0, 4.00, 0.011, manual}, {"4.01", standards.Technical, 20, 4.00, 0.01, manual},
		{"4.01", standards.Technical, 35, 4.02, 0.01, manual}, {"4.01", standards.Technical, 50, 4.06, 0.01, manual},
		{"6.86", standards.Primary, 25, 6.87, 0.0051, pheu11}, {"7.41", standards.Primary, 25, 7.41, 0.0051, pheu11},
		{"9.18", standards.Primary, 30, 9.14, 0.0051, pheu11}, {"10.01", standards.Primary, 20, 10.06, 0.0051, pheu11},
		{"10.01", standards.Technical, 20, 10.06, 0.01, pheu11}, {"10.01", standards.Technical, 35, 9.93, 0.01, pheu11},
		{"7.41", standards.Primary, 25, 7.413, 0.0015, later},
		// NBS tables, saturated solutions: 3.557 and 12.454 at 25 °C, from memory.
		{"3.56", standards.Primary, 25, 3.557, 0.0051, "NBS, from memory"}, {"12.45", standards.Primary, 25, 12.454, 0.0051, "NBS, from memory"},
		{"7.00", standards.Technical, 35, 6.98, 0.011, bottle}, {"7.00", standards.Technical, 10, 7.06, 0.01, bottle},
	} {
		s, err := standards.Find(tc.name, tc.set)
		require.NoError(t, err)
		got, err := s.PH(tc.temp)
		require.NoError(t, err)
		assert.InDelta(t, tc.want, got, tc.tol, "%s at %g °C: %s", tc.name, float64(tc.temp), tc.src)
	}
}

// The phthalate standard has a published equation: the straight lines between
// the rows of the table follow it at temperatures that are no rows. Hetzer,
// Durst, Robinson & Bates, J. Res. NBS 81A (1977) 21.
func TestPhthalateBetweenRows(t *testing.T) {
	s, err := standards.Find("4.01", standards.Primary)
	require.NoError(t, err)
	for c := 0.5; c < 60; c += 1.0 {
		k := c + 273.15
		want := 2073.44/k - 13.3270 + 0.045199*k - 3.4846e-5*k*k
		got, err := s.PH(chem.Celsius(c))
		require.NoError(t, err)
		assert.InDelta(t, want, got, 0.001, "%g °C", c)
	}
}

// Each inner row of each standard, left out, is found again from its
// neighbours: an upper bound of what interpolation adds between rows, where
// the steps are half as long.
func TestHeldOutRows(t *testing.T) {
	n := 0
	for _, s := range standards.Of("") {
		for i := 1; i < len(s.Values)-1; i++ {
			held := s
			held.Values = append(append([]standards.Value(nil), s.Values[:i]...), s.Values[i+1:]...)
			got, err := held.PH(s.Values[i].Temp)
			require.NoError(t, err)
			// The longest steps, 10 °C of the set nominal at 20 °C, become 20 °C.
			tol := 0.012
			if s.Set == standards.Technical20 {
				tol = 0.031
			}
			assert.InDelta(t, s.Values[i].PH, got, tol, "%s %s at %g °C", s.Set, s.Name, float64(s.Values[i].Temp))
			n++
		}
	}
	assert.Greater(t, n, 100)
}

func TestNominalHoldsWhereItSays(t *testing.T) {
	for _, s := range standards.Of("") {
		got, err := s.PH(s.NominalAt)
		require.NoError(t, err)
		assert.InDelta(t, s.Nominal, got, 0.0101, "%s %s", s.Set, s.Name)
		for _, v := range s.Values {
			assert.NotEmpty(t, v.Source)
			assert.Contains(t, []string{"seen", "memory"}, v.By)
		}
	}
}

// Nominal 7.00 at 20 °C is another liquid than 7.00 at 25 °C.
func TestTwentyIsNotTwentyFive(t *testing.T) {
	a, err := standards.Find("7.00", standards.Technical)
	require.NoError(t, err)
	b, err := standards.Find("7.00@20", standards.Technical)
	require.NoError(t, err)
	x, _ := a.PH(20)
	y, _ := b.PH(20)
	assert.InDelta(t, 7.02, x, 1e-9)
	assert.InDelta(t, 7.00, y, 1e-9)
	assert.Equal(t, "7.00 (at 20 °C)", b.String())
}

func TestOutsideTheTableIsAnError(t *testing.T) {
	for _, s := range standards.Of("") {
		low, high := s.Range()
		for _, temp := range []chem.Celsius{low - 0.1, high + 0.1, chem.Celsius(math.NaN())} {
			_, err := s.PH(temp)
			require.ErrorIs(t, err, standards.ErrOutside, "%s at %g", s, float64(temp))
		}
		_, err := s.PH(high)
		require.NoError(t, err)
	}
}

func TestFind(t *testing.T) {
	for _, tc := range []struct {
		text string
		in   standards.Set
		set  standards.Set
		name string
	}{
		{"7", standards.Technical, standards.Technical, "7.00"},
		{" 4.01 ", standards.Technical, standards.Technical, "4.01"},
		{"4.01", standards.Primary, standards.Primary, "4.01"},
		{"6.86", standards.Technical, standards.Primary, "6.86"},
		{"7.01", standards.Technical, standards.Technical701, "7.01"},
		{"9.00", standards.Technical, standards.Technical20, "9.00"},
		{"4.00@20", standards.Technical, standards.Technical20, "4.00"},
		{"7.00@25 °C", standards.Technical20, standards.Technical, "7.00"},
		{"3.56", standards.Technical, standards.Primary, "3.56"},
		{"12.45", standards.Technical, standards.Primary, "12.45"},
	} {
		s, err := standards.Find(tc.text, tc.in)
		require.NoError(t, err, tc.text)
		assert.Equal(t, tc.set, s.Set, tc.text)
		assert.Equal(t, tc.name, s.Name, tc.text)
	}
	for text, want := range map[string]string{
		"4.00": `"4.00" could be more than one liquid: 4.01 (potassium hydrogen phthalate 0.05 mol/L, nominal at 25 °C), or 4.00@20 (`,
		"10":   `"10" is not a nominal value; the nearest is 10.01 (`,
	} {
		_, err := standards.Find(text, standards.Technical)
		require.ErrorIs(t, err, standards.ErrAmbiguous, text)
		require.ErrorContains(t, err, want)
	}
	s, err := standards.Find("4.00", standards.Technical20)
	require.NoError(t, err, "the set says which")
	assert.Equal(t, standards.Technical20, s.Set)
	for _, bad := range []string{"", "seven", "5.00", "7.00@37"} {
		_, err := standards.Find(bad, standards.Technical)
		require.ErrorIs(t, err, standards.ErrNoStandard, bad)
	}
}

func TestDamagedTablesAreRefused(t *testing.T) {
	const head = "set,name,nominal_at_c,composition,temp_c,ph,source,by,note\n"
	for name, rows := range map[string]string{
		"no rows":          "",
		"no source":        "primary,4.01,25,x,25,4.00,,seen,\n",
		"seen or not":      "primary,4.01,25,x,25,4.00,book,,\n",
		"no such set":      "other,4.01,25,x,25,4.00,book,seen,\n",
		"no number":        "primary,4.01,25,x,25,four,book,seen,\n",
		"falling":          "primary,4.01,25,x,25,4.00,book,seen,\nprimary,4.01,25,x,20,4.00,book,seen,\n",
		"split":            "primary,4.01,25,x,20,4.00,book,seen,\nprimary,6.86,25,x,20,6.88,book,seen,\nprimary,4.01,25,x,25,4.00,book,seen,\n",
		"a column missing": "primary,4.01,25,x,25,4.00,book,seen\n",
	} {
		require.Error(t, standards.ReadStandards([]byte(head+rows)), name)
	}
	require.NoError(t, standards.ReadStandards([]byte(head+"primary,4.01,25,x,25,4.00,book,seen,\n")))
}

func TestMemoryIsMarked(t *testing.T) {
	s, err := standards.Find("7.01", standards.Technical701)
	require.NoError(t, err)
	assert.Contains(t, s.Source(25), "not confirmed by a second publication")
	s, err = standards.Find("7.00", standards.Technical)
	require.NoError(t, err)
	assert.False(t, strings.Contains(s.Source(25), "memory"))
}

func TestBracketing(t *testing.T) {
	for _, tc := range []struct {
		set  standards.Set
		ph   float64
		want string
		none bool
	}{
		{standards.Technical, 5.5, "4.01 7.00", false},
		{standards.Technical, 7.4, "7.00 10.01", false},
		{standards.Technical, 7.0, "4.01 7.00 10.01", false},
		{standards.Technical, 6.9, "4.01 7.00 10.01", false},
		{standards.Technical, 10.0, "7.00 10.01", false},
		{standards.Technical, 4.05, "4.01 7.00", false},
		{standards.Technical, 3.0, "4.01 7.00", true},
		{standards.Technical, 12, "7.00 10.01", true},
		{standards.Technical20, 8.1, "7.00 (at 20 °C) 9.00 (at 20 °C)", false},
		{standards.Technical701, 5, "4.01 7.01", false},
		{standards.Primary, 3, "1.68 4.01", false},
		{standards.Primary, 8.3, "6.86 9.18", false},
		{standards.Primary, 9.6, "6.86 10.01", false},
	} {
		list, err := standards.Bracketing(tc.set, tc.ph)
		if tc.none {
			require.ErrorIs(t, err, standards.ErrNoBracket)
		} else {
			require.NoError(t, err)
		}
		var names []string
		for _, s := range list {
			names = append(names, s.String())
		}
		assert.Equal(t, tc.want, strings.Join(names, " "), "%s %g", tc.set, tc.ph)
	}
	_, err := standards.Bracketing("other", 7)
	require.Error(t, err)
}
