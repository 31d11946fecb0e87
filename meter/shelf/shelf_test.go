package shelf

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/serial"
)

// A file of droppers keeps each name once, whatever the case of its letters, and
// refuses a drop that cannot be.
func TestDroppers(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	list, path, err := ReadDroppers()
	require.NoError(t, err, "none was weighed yet")
	assert.Empty(t, list.Dropper)
	_, err = FindDropper("blue")
	assert.ErrorContains(t, err, "not known")
	d := Dropper{Name: "blue", DropUL: 49.1, DropSDPct: 1.2, Drops: 20, Grams: []float64{0.98}, Density: 0.9977, Liquid: "water", Measured: time.Date(2026, 11, 26, 9, 0, 0, 0, time.UTC)}
	_, err = KeepDropper(d)
	require.NoError(t, err)
	d.Name, d.DropUL = "Blue", 50.2
	_, err = KeepDropper(d)
	require.NoError(t, err)
	got, err := FindDropper(" BLUE ")
	require.NoError(t, err)
	assert.Equal(t, d, got)
	for _, c := range []struct {
		ul, sd float64
		good   bool
	}{{1.1, 1, true}, {0.9, 1, false}, {490, 1, true}, {510, 1, false}, {50, 0.11, true}, {50, 0.09, false}, {50, 59, true}, {50, 61, false}} {
		require.NoError(t, os.WriteFile(path, fmt.Appendf(nil, "[[dropper]]\nname = \"blue\"\ndrop_ul = %g\ndrop_sd_pct = %g\n", c.ul, c.sd), 0o600))
		_, _, err = ReadDroppers()
		if c.good {
			assert.NoError(t, err, "%+v", c)
		} else {
			assert.ErrorContains(t, err, "is impossible", "%+v", c)
		}
	}
	require.NoError(t, os.WriteFile(path, []byte("[[dropper]]\nnom = \"blue\"\n"), 0o600))
	_, _, err = ReadDroppers()
	assert.ErrorContains(t, err, path+`:2:1: unknown key "dropper.nom"`)
}

// The droppers that were weighed come with what runs have shown.
func TestBenchHasTheDroppers(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	_, err := KeepDropper(Dropper{Name: "blue", DropUL: 49.1, DropSDPct: 1.2, Measured: time.Now()})
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "bench.toml")
	var b bench.Book
	b.State(bench.Stated{Bottle: "B7", Molar: 1.01, SDPct: 0.3, At: time.Now().Truncate(time.Second)})
	require.NoError(t, WriteBench(path, b))
	got, err := ReadBench(path)
	require.NoError(t, err)
	require.Len(t, got.Weighs, 1)
	assert.Equal(t, 49.1, got.Weighs[0].UL)
	assert.Equal(t, 1.01, got.Stated[0].Molar)
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm(), "for nobody else to read")
}

// A line that broke off spoils only itself.
func TestHistoryAfterAPowerCut(t *testing.T) {
	path := filepath.Join(t.TempDir(), "deep", "calibrations.jsonl")
	var points []calib.Point
	for _, name := range []string{"7.00", "4.01"} {
		st, err := standards.Find(name, standards.Technical)
		require.NoError(t, err)
		p, err := calib.NewPoint(st, 22)
		require.NoError(t, err)
		mv := nernst.MV(p.PH, 22)
		p.MV = &mv
		points = append(points, p)
	}
	c, err := calib.Judge(calib.About{Electrode: "E7", At: time.Date(2026, 11, 26, 9, 0, 0, 0, time.UTC)}, points, nil)
	require.NoError(t, err)
	require.NoError(t, AppendHistory(path, c))
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
	require.NoError(t, err)
	_, err = f.WriteString(`{"electrode":"E7","a`)
	require.NoError(t, err)
	require.NoError(t, f.Close())
	require.NoError(t, AppendHistory(path, c))
	h, err := LoadHistory(path)
	require.NoError(t, err)
	assert.Equal(t, []int{2}, h.Bad)
	assert.Len(t, h.Of("E7"), 2)
	none, err := LoadHistory(path + ".none")
	require.NoError(t, err)
	assert.Empty(t, none.List)
}

// Of each electrode one calibration that was broken off is kept, and stale ones go.
func TestUnfinished(t *testing.T) {
	path := UnfinishedPath(filepath.Join(t.TempDir(), "calibrations.jsonl"))
	now := time.Date(2026, 11, 26, 9, 0, 0, 0, time.UTC)
	mv := 1.5
	of := func(name string, at time.Time) *walk.Unfinished {
		return &walk.Unfinished{Format: calib.Format, Electrode: name, At: at, Dips: []walk.Dipped{{SentMV: true, Point: calib.Point{Standard: "7.00", Set: standards.Technical, MV: &mv, PH: 7, TempC: 25}}}}
	}
	require.NoError(t, SaveUnfinished(path, "E7", of("E7", now), now))
	require.NoError(t, SaveUnfinished(path, "E8", of("E8", now), now))
	require.NoError(t, SaveUnfinished(path, "e-7", of("E7", now.Add(time.Minute)), now))
	list, bad, err := LoadUnfinished(path)
	require.NoError(t, err)
	assert.Zero(t, bad)
	require.Len(t, list, 2)
	assert.Equal(t, []string{"E8", "E7"}, []string{list[0].Electrode, list[1].Electrode})
	require.NoError(t, SaveUnfinished(path, "E7", nil, now.Add(2*walk.GoOnWithin)))
	_, err = os.Stat(path)
	assert.ErrorIs(t, err, os.ErrNotExist, "nothing is left to be kept")
}

func TestMeters(t *testing.T) {
	m := Meters{Folder: filepath.Join(t.TempDir(), "meters")}
	assert.Empty(t, m.Names())
	var c serial.Config
	assert.ErrorContains(t, m.Read("corner", &c), `no meter "corner" has been learned`)
	_, err := m.Save("../etc", "baud = 9600\n", false)
	assert.ErrorContains(t, err, "is not a valid name for a meter")
	_, err = m.Save("Corner", "port = \"/dev/ttyS0\"\nbaud = 1200\n", false)
	require.NoError(t, err)
	_, err = m.Save("corner", "baud = 9600\n", false)
	assert.ErrorContains(t, err, "has been learned already")
	require.NoError(t, m.Read("corner", &c))
	assert.Equal(t, 1200, c.Baud)
	assert.Equal(t, []string{"corner"}, m.Names())
}
