package replay_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/optimize"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/replay"
)

// titrated is a curve of the project's own model, which fits with activities
// and true polyprotic systems: independent of the fit's description of it.
func titrated(t *testing.T, reagent string, mmol, sampleML float64, titrant string, molar, toML float64, n int, noise float64, seed uint64) []replay.Point {
	t.Helper()
	r, err := table.ByAmount(reagent)
	require.NoError(t, err)
	x, err := table.ByAmount(titrant)
	require.NoError(t, err)
	beaker := chem.Mix(chem.Solution{Volume: chem.Volume(sampleML) * chem.Millilitre, Temp: 25}, r.Dissolved(chem.Amount(mmol)*chem.Millimole).At(25))
	rnd := rand.New(rand.NewPCG(seed, 9))
	var out []replay.Point
	for i := range n {
		ml := toML * float64(i) / float64(n-1)
		given := chem.Mix(chem.Solution{Volume: chem.Volume(ml) * chem.Millilitre, Temp: 25}, x.Dissolved(chem.Amount(molar*ml)*chem.Millimole).At(25))
		d, err := chem.Describe(chem.Mix(beaker, given).At(25))
		require.NoError(t, err)
		out = append(out, replay.Point{ML: ml, PH: math.Round(100*(float64(d.PH)+noise*rnd.NormFloat64())) / 100})
	}
	return out
}

func TestFitFindsWhatWasTitrated(t *testing.T) {
	for _, c := range []struct {
		reagent, titrant string
		mmol, molar, to  float64
		pk               []float64 // thermodynamic, of the tables; the fit's are apparent
		ends             []float64 // mL
	}{
		{"acetic acid", "NaOH", 2.5, 0.1, 40, []float64{4.756}, []float64{25}},
		{"Tris", "HCl", 2.0, 0.1, 32, []float64{8.07}, []float64{20}},
		{"MES", "NaOH", 1.5, 0.1, 24, []float64{6.27}, []float64{15}},
		{"phosphoric acid", "NaOH", 1.1, 0.1, 27, []float64{2.148, 7.198}, []float64{11, 22}},
	} {
		p := titrated(t, c.reagent, c.mmol, 50, c.titrant, c.molar, c.to, 60, 0.01, 3)
		f, err := replay.FitCurve(p, replay.FitOptions{SampleML: 50, Molar: c.molar})
		require.NoError(t, err)
		t.Logf("%s: %+v ends %v rms %.3f", c.reagent, f.Sites, f.Ends, f.RMSPH)
		assert.Less(t, f.RMSPH, 0.06, c.reagent)
		for _, want := range c.ends {
			assert.True(t, near(f.Ends, want, 0.02*want), "%s: an end at %g mL among %v", c.reagent, want, f.Ends)
		}
		for _, want := range c.pk {
			found := false
			for _, s := range f.Sites {
				// Apparent constants of monovalent acids lie about 0.1, of
				// divalent ones about 0.3 below at this ionic strength.
				found = found || math.Abs(s.PK.Value-want) < 0.45 && math.Abs(s.MMol.Value-c.mmol) < 0.05*c.mmol+2*s.MMol.SD
			}
			assert.True(t, found, "%s: pK near %.2f with %.2f mmol among %+v", c.reagent, want, c.mmol, f.Sites)
		}
	}
}

func near(list []replay.Value, want, by float64) bool {
	for _, v := range list {
		if math.Abs(v.Value-want) <= by {
			return true
		}
	}
	return false
}

// A titrant of unknown strength: its own excess beyond the end tells it.
func TestFitFindsTheStrength(t *testing.T) {
	p := titrated(t, "acetic acid", 2.5, 50, "NaOH", 0.125, 36, 70, 0.005, 4)
	f, err := replay.FitCurve(p, replay.FitOptions{SampleML: 50})
	require.NoError(t, err)
	t.Logf("%+v", f)
	assert.InDelta(t, 0.125, f.Molar.Value, 0.015)
	assert.Less(t, math.Abs(f.Molar.Value-0.125), 4*f.Molar.SD+0.008)
	assert.True(t, near(f.Ends, 20, 0.3), "%v", f.Ends)
}

// The same curve fitted by a general optimiser in pH gives the same constant.
func TestFitAgreesWithAGeneralOptimiser(t *testing.T) {
	p := titrated(t, "acetic acid", 2.5, 50, "NaOH", 0.1, 40, 50, 0.01, 5)
	f, err := replay.FitCurve(p, replay.FitOptions{SampleML: 50, Molar: 0.1, MaxSites: 1})
	require.NoError(t, err)
	require.Len(t, f.Sites, 1)
	r, err := optimize.Minimize(optimize.Problem{Func: func(x []float64) float64 {
		s := 0.0
		for _, q := range p {
			d := q.PH + x[2] - oneAcid(x[0], x[1]*1e-3, 0.1, 50, q.ML)
			s += math.Min(d*d, 1)
		}
		return s + x[2]*x[2]/(0.15*0.15)*1e-3
	}}, []float64{5, 2.4, 0}, &optimize.Settings{FuncEvaluations: 4000}, &optimize.NelderMead{})
	require.NoError(t, err)
	// A shift of the meter moves the constant with it: on the scale of the
	// meter both must agree.
	assert.InDelta(t, r.X[0]-r.X[2], f.Sites[0].PK.Value-f.Shift.Value, 0.02, "pK")
	assert.InDelta(t, r.X[1], f.Sites[0].MMol.Value, 0.03, "mmol")
}

// oneAcid is the pH of an acid with a strong base, ideal, by halving.
func oneAcid(pk, mol, molar, sampleML, ml float64) float64 {
	lo, hi, v := 0.0, 14.0, (sampleML+ml)/1e3
	for range 60 {
		ph := (lo + hi) / 2
		h := math.Pow(10, -ph)
		if molar*ml/1e3+(h-1e-14/h)*v-mol/(1+math.Pow(10, pk-ph)) > 0 {
			lo = ph
		} else {
			hi = ph
		}
	}
	return (lo + hi) / 2
}

func TestFitNeedsPoints(t *testing.T) {
	_, err := replay.FitCurve([]replay.Point{{ML: 0, PH: 3}, {ML: 1, PH: 4}}, replay.FitOptions{})
	assert.ErrorIs(t, err, replay.ErrFewPoints)
}

func TestLogsOfManyShapes(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		opt  replay.LogOptions
		want replay.Row // the last
		rows int
	}{
		"header":       {"time_s,pH,volume_ml,temp_c\n0,5.10,0,21\n30,5.60,1.5,21.1\n60,6.00,3,21.2\n", replay.LogOptions{}, replay.Row{Line: 4, T: 60, PH: 6, ML: 3, Temp: 21.2}, 3},
		"decimals":     {"Zeit (min);Volumen [mL];pH\n0,0;0,00;5,10\n0,5;1,50;5,60\n1,0;3,00;6,00\n", replay.LogOptions{Column: map[string]string{"time": "1"}}, replay.Row{Line: 4, T: 60, PH: 6, ML: 3}, 3},
		"tabs":         {"Sample\tA7\nStrength\t0.1\n\nV / mL\tpH\n0\t6.47\n0\t7.49\n0.1\t7.2\n0.2\t6.9\n", replay.LogOptions{}, replay.Row{Line: 8, PH: 6.9, ML: 0.2}, 4},
		"no header":    {"0 3.1\n2 3.4\n4 3.9\n6 5.2\n", replay.LogOptions{}, replay.Row{Line: 4, PH: 5.2, ML: 6}, 4},
		"mapped":       {"a,b,c\n1,3.1,0\n2,3.4,5\n3,3.9,11\n", replay.LogOptions{Column: map[string]string{"ph": "b", "drops": "c", "time": "-"}, DropML: 0.04}, replay.Row{Line: 4, PH: 3.9, ML: 0.44}, 3},
		"mV":           {"min,E / mV,drops\n0,118.3,0\n1,59.16,4\n2,0,8\n", replay.LogOptions{}, replay.Row{Line: 4, T: 120, PH: 7, ML: 0.4}, 3},
		"times of day": {"clock time,pH\n23:59:50,7.1\n00:00:00,7.2\n00:00:30,7.3\n", replay.LogOptions{}, replay.Row{Line: 4, T: 40, PH: 7.3}, 3},
		"microlitres":  {"\ufeffµL;pH\r\n0;4.0\r\n250;4.5\r\n500;5.0\r\n", replay.LogOptions{}, replay.Row{Line: 4, PH: 5, ML: 0.5}, 3},
	} {
		t.Run(name, func(t *testing.T) {
			l, err := replay.ReadLog(strings.NewReader(c.text), c.opt)
			require.NoError(t, err)
			require.Len(t, l.Rows, c.rows, "%+v", l)
			got := l.Rows[len(l.Rows)-1]
			assert.Equal(t, fmt.Sprintf("%.4f", zero(c.want)), fmt.Sprintf("%.4f", zero(got)), "%+v", l)
		})
	}
}

// zero turns what is not there into 0.
func zero(r replay.Row) []float64 {
	out := []float64{float64(r.Line), r.T, r.PH, r.ML, r.Temp}
	for i := range out {
		if math.IsNaN(out[i]) {
			out[i] = 0
		}
	}
	return out
}

func TestLogSaysWhatIsOdd(t *testing.T) {
	l, err := replay.ReadLog(strings.NewReader("ml,pH\n0,6.47\n0,7.49\n1,7.2\n0.5,7.1\n2,99\n3,6.1\n4,nonsense\n"), replay.LogOptions{})
	require.NoError(t, err)
	notes := strings.Join(l.Notes, "\n")
	assert.Contains(t, notes, "line 3: the volume of the line before again")
	assert.Contains(t, notes, "line 5: the volume goes backwards")
	assert.Contains(t, notes, "line 6: the pH cannot be one")
	assert.Equal(t, []replay.Point{{ML: 0, PH: 7.49}, {ML: 1, PH: 7.2}, {ML: 3, PH: 6.1}}, l.Points())
}

func TestLogRefusals(t *testing.T) {
	for _, text := range []string{"", "nothing here\nat all\n", "a,b\n1,2\n", "t,x\n0,100\n1,200\n2,300\n"} {
		_, err := replay.ReadLog(strings.NewReader(text), replay.LogOptions{})
		assert.ErrorIs(t, err, replay.ErrNoTable, "%q", text)
	}
	_, err := replay.ReadLog(strings.NewReader("t,pH\n0,7\n1,7\n2,7\n"), replay.LogOptions{Column: map[string]string{"ph": "acidity"}})
	assert.ErrorContains(t, err, "acidity")
}

func FuzzReadLog(f *testing.F) {
	f.Add("time_s,pH\n0,7.1\n1,7.2\n2,7.3\n")
	f.Add("0;3,1\n2;3,4\n4;3,9\n")
	f.Fuzz(func(t *testing.T, text string) {
		l, err := replay.ReadLog(strings.NewReader(text), replay.LogOptions{})
		if err == nil {
			require.NotEmpty(t, l.Rows)
			_, _ = replay.FitCurve(l.Points(), replay.FitOptions{MaxSites: 1})
		}
	})
}

// Logs of others, by hand: set HALFDROP_LOGS to a folder of them.
func TestLogsOfOthers(t *testing.T) {
	folder := os.Getenv("HALFDROP_LOGS")
	if folder == "" {
		t.Skip("NOT RUN: HALFDROP_LOGS names no folder of logs")
	}
	require.NoError(t, filepath.Walk(folder, func(path string, info os.FileInfo, err error) error {
		if err != nil || info.IsDir() {
			return err
		}
		f, err := os.Open(path)
		require.NoError(t, err)
		defer f.Close()
		l, err := replay.ReadLog(f, replay.LogOptions{})
		t.Log(info.Name(), err)
		if err == nil {
			t.Log(len(l.Rows), l.Columns, l.Notes, l.Facts)
		}
		return nil
	}))
}
