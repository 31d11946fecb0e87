package records_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/calibtest"
	"example.org/halfdrop/meter/calib/records"
	"example.org/halfdrop/meter/calib/standards"
)

func TestHistoryThereAndBack(t *testing.T) {
	var file bytes.Buffer
	want := []calib.Calibration{calibtest.Made("E1", 0, calibtest.Glass{SlopePct: 99, OffsetMV: 1, TauS: 4}), calibtest.Made("E2", 1, calibtest.Glass{SlopePct: 98, OffsetMV: 2, TauS: 5}), calibtest.Made("E1", 2, calibtest.Glass{SlopePct: 97, OffsetMV: 3, TauS: 6})}
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
	one, err := calibtest.Made("E1", 0, calibtest.Glass{SlopePct: 99, OffsetMV: 1, TauS: 4}).Encode()
	require.NoError(t, err)
	two, err := calibtest.Made("E1", 1, calibtest.Glass{SlopePct: 98, OffsetMV: 1, TauS: 4}).Encode()
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

func TestTable(t *testing.T) {
	var out bytes.Buffer
	bad := calibtest.Made("E1", 40, calibtest.Glass{SlopePct: 88, OffsetMV: 1, TauS: 30})
	bad.Override = "the other one is broken"
	check := checked(t, "E1", 7.02)
	require.NoError(t, records.WriteTable(&out, []calib.Calibration{calibtest.Made("E1", 0, calibtest.Glass{SlopePct: 99, OffsetMV: 1, TauS: 0}), bad, check}))
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	require.Len(t, lines, 4)
	assert.Contains(t, lines[1], "99.0")
	assert.Contains(t, lines[2], "not accepted, used all the same: the other one is broken")
	assert.Contains(t, lines[3], "check: accepted")
}

// checked is a check of a meter that calibrates itself, which shows something in 7.00 and
// the right thing in 4.01.
func checked(t *testing.T, electrode string, shown float64) calib.Calibration {
	t.Helper()
	var points []calib.Point
	for _, name := range []string{"7.00", "4.01"} {
		s, err := standards.Find(name, standards.Technical)
		require.NoError(t, err)
		p, err := calib.NewPoint(s, 25)
		require.NoError(t, err)
		p.Shown = &p.PH
		points = append(points, p)
	}
	points[0].Shown = &shown
	c, err := calib.Judge(calib.About{Electrode: electrode, At: time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)}, points, nil)
	require.NoError(t, err)
	return c
}

// An electrode is found however its name is written, and a slip of the finger is named.
func TestFindAnElectrode(t *testing.T) {
	glass := calibtest.Glass{SlopePct: 99}
	h := records.History{List: []calib.Calibration{calibtest.Made("Limpet 3", 0, glass), calibtest.Made("", 1, glass), calibtest.Made("cockle", 2, glass)}}
	assert.Equal(t, []string{"Limpet 3", "cockle"}, h.Named(), "one without a name is nobody's")
	for typed, want := range map[string]string{"Limpet 3": "Limpet 3", "limpet 3": "Limpet 3", "COCKLE": "cockle"} {
		found, near := h.Find(typed)
		assert.Equal(t, want, found, typed)
		assert.Empty(t, near)
	}
	found, near := h.Find("Limpet 4")
	assert.Empty(t, found)
	assert.Equal(t, []string{"Limpet 3"}, near)
	h.List = append(h.List, calibtest.Made("periwinkle", 3, glass))
	_, near = h.Find("perixxxkle")
	assert.Equal(t, []string{"periwinkle"}, near, "three slips in ten letters")
	_, near = h.Find("perxxxxkle")
	assert.Empty(t, near, "four")
	found, near = h.Find("whelk")
	assert.Empty(t, found)
	assert.Empty(t, near)
	found, near = h.Find("")
	assert.Empty(t, found+strings.Join(near, ""))
}

// What was refused takes no place of what may be used, and is said; a check stands beside it.
func TestWhatIsCurrent(t *testing.T) {
	good, bad := calibtest.Made("E1", 0, calibtest.Glass{SlopePct: 99}), calibtest.Made("E1", 5, calibtest.Glass{SlopePct: 60})
	require.False(t, bad.Usable())
	h := records.History{List: []calib.Calibration{bad}}
	line, check := h.Current("E1")
	require.NotNil(t, line)
	assert.Nil(t, check)
	assert.False(t, line.Usable(), "it is said what was found")

	h.List = []calib.Calibration{good, bad, checked(t, "E1", 7.02)}
	line, check = h.Current("e1")
	require.NotNil(t, line)
	require.NotNil(t, check)
	assert.Equal(t, good.At, line.At)
	assert.True(t, check.Checks())
	_, _, findings := h.For(calib.Use{At: good.At.Add(6 * 24 * time.Hour), Electrode: "E1", Target: 5.5, Present: 5.5, TempC: 22})
	var codes []calib.Code
	for _, f := range findings {
		codes = append(codes, f.Code)
		if f.Code == calib.CodeRefused {
			assert.Contains(t, f.Text, "the calibration of 2026-01-10 09:00 is used; a later one, of 2026-01-15 09:00, was not accepted")
		}
	}
	assert.Contains(t, codes, calib.CodeRefused)
}
