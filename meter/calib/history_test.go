package calib_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/records"
)

// aged is a calibration of an electrode some days after noon.
func aged(t *testing.T, electrode string, days, slope, offset, tau float64) calib.Calibration {
	t.Helper()
	p, q := mvPoint(t, "4.01", 22, slope/100, offset), mvPoint(t, "7.00", 22, slope/100, offset)
	p.TauS, q.TauS = tau, tau
	a := about()
	a.Electrode, a.At = electrode, noon.Add(time.Duration(days*24*float64(time.Hour)))
	c, err := calib.Judge(a, []calib.Point{p, q}, nil)
	require.NoError(t, err)
	return c
}

func TestHistoryThereAndBack(t *testing.T) {
	var file bytes.Buffer
	want := []calib.Calibration{aged(t, "E1", 0, 99, 1, 4), aged(t, "E2", 1, 98, 2, 5), aged(t, "E1", 2, 97, 3, 6)}
	for _, c := range want {
		b, err := c.Encode()
		require.NoError(t, err)
		assert.Equal(t, 1, bytes.Count(b, []byte("\n")))
		file.Write(b)
	}
	h, err := records.Read(&file)
	require.NoError(t, err)
	assert.Equal(t, want, h.List)
	assert.Empty(t, h.Bad)
	assert.Equal(t, []string{"E1", "E2"}, h.Electrodes())
	last, check := h.Current("E1")
	require.NotNil(t, last)
	assert.Nil(t, check)
	assert.InDelta(t, 97, last.SlopePct, 1e-9)
	use := calib.Use{At: last.At.Add(time.Hour), Electrode: "E1", Target: 5.5, Present: 5.5, TempC: 22}
	c, _, findings := h.For(use)
	assert.Equal(t, last, c)
	assert.Empty(t, findings)
	use.Electrode = "E3"
	c, _, findings = h.For(use)
	require.Nil(t, c)
	require.Len(t, findings, 1)
	assert.Equal(t, calib.CodeNone, findings[0].Code)
}

// A history cut at every byte keeps what is whole and names what is not.
func TestHistoryCutAnywhere(t *testing.T) {
	one, err := aged(t, "E1", 0, 99, 1, 4).Encode()
	require.NoError(t, err)
	two, err := aged(t, "E1", 1, 98, 1, 4).Encode()
	require.NoError(t, err)
	all := append(append([]byte(nil), one...), two...)
	for n := range len(all) {
		h, err := records.Read(bytes.NewReader(all[:n]))
		require.NoError(t, err)
		switch {
		case n == 0:
			assert.Empty(t, h.List)
		case n < len(one)-1:
			assert.Empty(t, h.List)
			assert.Equal(t, []int{1}, h.Bad)
		case n > len(one) && n < len(all)-1:
			assert.Len(t, h.List, 1)
			assert.Equal(t, []int{2}, h.Bad, n)
		}
	}
	_, err = records.Read(strings.NewReader(strings.Repeat("x", 2<<20)))
	require.Error(t, err)
}

func TestTrend(t *testing.T) {
	var list []calib.Calibration
	noise := []float64{0.1, -0.1, 0.05, 0.1, -0.05, -0.1}
	for i := range 6 {
		d := float64(30 * i)
		list = append(list, aged(t, "E1", d, 99-0.5*float64(i)+noise[i], 2+noise[i], 4*(1+0.1*float64(i))))
	}
	trend, err := calib.TrendOf(list)
	require.NoError(t, err)
	assert.InDelta(t, -0.5, trend.Slope.PerMonth, 0.05)
	assert.True(t, trend.Slope.Clear())
	assert.False(t, trend.Offset.Clear())
	words := trend.Words()
	require.Len(t, words, 3)
	assert.Contains(t, words[0], "slope 99.1 → 96.4 % over 150 days, 6 calibrations, -0.5 % a month; at this pace 95 % in about 3 months")
	assert.Contains(t, words[1], "no clear change")
	assert.Contains(t, words[2], "time constant 4.0 → 6.0 s")
	for _, few := range [][]calib.Calibration{nil, list[:2], {list[0], aged(t, "E1", 1, 99, 2, 4), aged(t, "E1", 2, 99, 2, 4)}} {
		_, err := calib.TrendOf(few)
		require.ErrorIs(t, err, calib.ErrFew)
	}
}

// Exchanged standards say nothing about the electrode.
func TestTrendLeavesMistakesOut(t *testing.T) {
	list := []calib.Calibration{aged(t, "E1", 0, 99, 1, 4), aged(t, "E1", 10, 99.1, 1, 4), aged(t, "E1", 20, 98.9, 1, 4), aged(t, "E1", 30, 99, 1, 4)}
	with := append(append([]calib.Calibration(nil), list[:2]...), aged(t, "E1", 15, 2, 1, 4))
	with = append(with, list[2:]...)
	a, err := calib.TrendOf(list)
	require.NoError(t, err)
	b, err := calib.TrendOf(with)
	require.NoError(t, err)
	assert.Equal(t, a, b)
}

func TestTable(t *testing.T) {
	var out bytes.Buffer
	bad := aged(t, "E1", 40, 88, 1, 30)
	bad.Override = "the other one is broken"
	ph := 7.02
	p, q := tablePoint(t, "7.00", 25), tablePoint(t, "4.01", 25)
	p.Shown, q.Shown = &ph, &q.PH
	check := judged(t, nil, p, q)
	require.NoError(t, records.WriteTable(&out, []calib.Calibration{aged(t, "E1", 0, 99, 1, 0), bad, check}))
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	require.Len(t, lines, 4)
	assert.Contains(t, lines[1], "99.0")
	assert.Contains(t, lines[2], "not accepted, used all the same: the other one is broken")
	assert.Contains(t, lines[3], "check: accepted")
}
