package foreign_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/fit"
	"example.org/halfdrop/meter/foreign"
)

func TestLogsOfManyShapes(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		opt  foreign.LogOptions
		want foreign.Row // the last
		rows int
	}{
		"header":       {"time_s,pH,volume_ml,temp_c\n0,5.10,0,21\n30,5.60,1.5,21.1\n60,6.00,3,21.2\n", foreign.LogOptions{}, foreign.Row{Line: 4, T: 60, PH: 6, ML: 3, Temp: 21.2}, 3},
		"decimals":     {"Zeit (min);Volumen [mL];pH\n0,0;0,00;5,10\n0,5;1,50;5,60\n1,0;3,00;6,00\n", foreign.LogOptions{Column: map[string]string{"time": "1"}}, foreign.Row{Line: 4, T: 60, PH: 6, ML: 3}, 3},
		"tabs":         {"Sample\tA7\nStrength\t0.1\n\nV / mL\tpH\n0\t6.47\n0\t7.49\n0.1\t7.2\n0.2\t6.9\n", foreign.LogOptions{}, foreign.Row{Line: 8, PH: 6.9, ML: 0.2}, 4},
		"no header":    {"0 3.1\n2 3.4\n5 3.9\n6 5.2\n", foreign.LogOptions{}, foreign.Row{Line: 4, PH: 5.2, ML: 6}, 4},
		"mapped":       {"a,b,c\n1,3.1,0\n2,3.4,5\n3,3.9,11\n", foreign.LogOptions{Column: map[string]string{"ph": "b", "drops": "c", "time": "-"}, DropML: 0.04}, foreign.Row{Line: 4, PH: 3.9, ML: 0.44}, 3},
		"mV":           {"min,E / mV,drops\n0,118.3,0\n1,59.16,4\n2,0,8\n", foreign.LogOptions{}, foreign.Row{Line: 4, T: 120, PH: 7, ML: 0.4}, 3},
		"times of day": {"clock time,pH\n23:59:50,7.1\n00:00:00,7.2\n00:00:30,7.3\n", foreign.LogOptions{}, foreign.Row{Line: 4, T: 40, PH: 7.3}, 3},
		"microlitres":  {"\ufeffµL;pH\r\n0;4.0\r\n250;4.5\r\n500;5.0\r\n", foreign.LogOptions{}, foreign.Row{Line: 4, PH: 5, ML: 0.5}, 3},
	} {
		t.Run(name, func(t *testing.T) {
			l, err := foreign.ReadLog(strings.NewReader(c.text), c.opt)
			require.NoError(t, err)
			require.Len(t, l.Rows, c.rows, "%+v", l)
			got := l.Rows[len(l.Rows)-1]
			assert.Equal(t, fmt.Sprintf("%.4f", zero(c.want)), fmt.Sprintf("%.4f", zero(got)), "%+v", l)
		})
	}
}

// zero turns what is not there into 0.
func zero(r foreign.Row) []float64 {
	out := []float64{float64(r.Line), r.T, r.PH, r.ML, r.Temp}
	for i := range out {
		if math.IsNaN(out[i]) {
			out[i] = 0
		}
	}
	return out
}

func TestLogSaysWhatIsOdd(t *testing.T) {
	l, err := foreign.ReadLog(strings.NewReader("ml,pH\n0,6.47\n0,7.49\n1,7.2\n0.5,7.1\n2,99\n3,6.1\n4,nonsense\n"), foreign.LogOptions{})
	require.NoError(t, err)
	notes := strings.Join(l.Notes, "\n")
	assert.Contains(t, notes, "line 3: the same volume as the line before")
	assert.Contains(t, notes, "line 5: the volume goes backwards")
	assert.Contains(t, notes, "line 6: the pH is impossible")
	assert.Equal(t, []fit.Point{{ML: 0, PH: 7.49}, {ML: 1, PH: 7.2}, {ML: 3, PH: 6.1}}, l.Points())
}

func TestLogRefusals(t *testing.T) {
	for _, text := range []string{"", "nothing here\nat all\n", "a,b\n1,2\n", "t,x\n0,100\n1,200\n2,300\n"} {
		_, err := foreign.ReadLog(strings.NewReader(text), foreign.LogOptions{})
		assert.Error(t, err, "%q", text)
	}
	_, err := foreign.ReadLog(strings.NewReader("t,pH\n0,7\n1,7\n2,7\n"), foreign.LogOptions{Column: map[string]string{"ph": "acidity"}})
	assert.ErrorContains(t, err, "acidity")
}

func FuzzReadLog(f *testing.F) {
	f.Add("time_s,pH\n0,7.1\n1,7.2\n2,7.3\n")
	f.Add("0;3,1\n2;3,4\n4;3,9\n")
	f.Add("V;pH;no\n0;3;1\n1;4;2\n2;5;3\n3;6\n4;7;5\n5;8;6\n6;9;7\n7;10;8\n") // a short row
	f.Add("a\n0,3\n1,4\n2,5\nmL,mV\n1,200\n2,150\n3,100\n4,50\n")             // another table below
	f.Fuzz(func(t *testing.T, text string) {
		l, err := foreign.ReadLog(strings.NewReader(text), foreign.LogOptions{})
		if err == nil {
			require.NotEmpty(t, l.Rows)
			_, _ = fit.Curve(l.Points(), fit.Options{MaxSites: 1})
		}
	})
}

// Logs of others, by hand: set HALFDROP_LOGS to a folder of them.
func TestLogsOfOthers(t *testing.T) {
	folder := os.Getenv("HALFDROP_LOGS")
	if folder == "" {
		t.Skip("NOT RUN: whole folders of other people's logs were not read; set HALFDROP_LOGS to one")
	}
	require.NoError(t, filepath.Walk(folder, func(path string, info os.FileInfo, err error) error {
		if err != nil || info.IsDir() {
			return err
		}
		f, err := os.Open(path)
		require.NoError(t, err)
		defer f.Close()
		l, err := foreign.ReadLog(f, foreign.LogOptions{})
		t.Log(info.Name(), err)
		if err == nil {
			t.Log(len(l.Rows), l.Columns, l.Notes, l.Facts)
		}
		return nil
	}))
}

// A run that is not there is refused also where the table has but one: --run 7 of it was
// read as that one, without a word.
func TestThereIsNoOtherRunOfOne(t *testing.T) {
	_, err := foreign.ReadLog(strings.NewReader("mL,pH\n0,3\n1,4\n2,5\n3,6\n"), foreign.LogOptions{Run: 7})
	assert.ErrorContains(t, err, "there is no run 7")
	l, err := foreign.ReadLog(strings.NewReader("mL,pH\n0,3\n1,4\n2,5\n3,6\n"), foreign.LogOptions{Run: 1})
	assert.NoError(t, err)
	assert.Len(t, l.Rows, 4)
}

// A time without a unit is an assumption, and is said to be one.
func TestLogSaysTheUnitOfItsTime(t *testing.T) {
	for head, said := range map[string]bool{"Zeit": true, "t": true, "t/s": false, "Zeit (min)": false, "time_s": false} {
		l, err := foreign.ReadLog(strings.NewReader(head+";mL;pH\n0;0;6.1\n1;1;6.2\n2;2;6.3\n3;3;6.4\n"), foreign.LogOptions{})
		require.NoError(t, err, head)
		assert.Equal(t, said, strings.Contains(strings.Join(l.Notes, "\n"), "has no unit: taken as seconds"), head)
	}
	l, err := foreign.ReadLog(strings.NewReader("Zeit;mL;pH\n10:00:00;0;6.1\n10:01:00;1;6.2\n10:02:00;2;6.3\n10:03:00;3;6.4\n"), foreign.LogOptions{})
	require.NoError(t, err)
	assert.NotContains(t, strings.Join(l.Notes, "\n"), "taken as seconds", "times of day need none")
}

// An equivalence point that its own spread reaches back to nothing is not one that was seen:
// the log of a buffer brought to its pH had one "at 0.27 ± 0.33 mL".
func TestAnEquivalencePointThatIsNotTold(t *testing.T) {
	v := foreign.LogReview{Fit: &fit.Result{Ends: []fit.Value{{Value: 0.27, SD: 0.33}}}}
	said := strings.Join(v.Lines(), "\n")
	assert.NotContains(t, said, "0.27")
	assert.Contains(t, said, "where the equivalence point is cannot be told")
	v.Fit.Ends = append(v.Fit.Ends, fit.Value{Value: 25, SD: 0.1})
	assert.Contains(t, strings.Join(v.Lines(), "\n"), "equivalence at 25.00 ± 0.10 mL")
}
