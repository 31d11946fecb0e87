package run_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/view"
)

// walker is an electrode that is carried about: it follows the pH of what it is in
// with one time constant. It knows nothing of run, calib or sim.
type walker struct {
	t    *testing.T
	keep *keep.Keeper
	sec  float64
	y    float64
	r    *rand.Rand
	mv   func(ph float64) float64 // what the meter sends instead, mV; nil for pH
}

func walking(t *testing.T, target float64) *walker {
	return walkingFor(t, recipe.Target{PH: num(target)})
}

func walkingFor(t *testing.T, target recipe.Target) *walker {
	t.Helper()
	return walkingIn(t, recipe.Plan{
		Target: target, Beaker: recipe.Beaker{StartML: num(200), FinalML: num(250), TempC: num(25)},
		Weighed:  []recipe.Weighed{{Reagent: "MOPS", MMol: num(5)}},
		Titrants: []recipe.Titrant{{Name: "NaOH 1 M", Reagent: "NaOH", Molar: num(1)}},
	})
}

func walkingIn(t *testing.T, p recipe.Plan) *walker {
	t.Helper()
	plan, err := json.Marshal(p)
	require.NoError(t, err)
	k, err := keep.NewKeeper(journal.Event{Seq: 1, At: nine, Kind: journal.Started, Start: &journal.Start{Format: 1, Plan: plan}}, &keep.Discard{},
		func(s float64) time.Time { return nine.Add(time.Duration(s * float64(time.Second))) })
	require.NoError(t, err)
	return &walker{t: t, keep: k, y: 4, r: rand.New(rand.NewPCG(5, 6))}
}

// in lets the electrode stand in a pH for some seconds and is the view then.
func (w *walker) in(ph float64, seconds int) (v view.View) {
	w.t.Helper()
	for range seconds {
		w.sec++
		w.y = ph + (w.y-ph)*math.Exp(-1/4.0)
		x := math.Round((w.y+0.002*w.r.NormFloat64())*1000) / 1000
		r := &journal.Reading{PH: &x, TempC: num(25), Decimals: 3}
		if w.mv != nil {
			mv := math.Round(10*w.mv(x)) / 10
			r.PH, r.MV, r.Decimals = nil, &mv, 1
		}
		require.NoError(w.t, w.keep.Take(journal.Event{T: w.sec, Kind: journal.Read, Reading: r}))
		v = w.keep.Look(w.sec)
	}
	return v
}

func (w *walker) step(step string, standards ...journal.Standard) view.View {
	w.t.Helper()
	require.NoError(w.t, w.keep.Take(journal.Event{T: w.sec, Kind: journal.Checking, Checking: &journal.CheckStep{Step: step, Standards: standards}}))
	return w.keep.Look(w.sec)
}

func (w *walker) back() view.View {
	w.t.Helper()
	require.NoError(w.t, w.keep.Immerse(w.sec))
	return w.keep.Look(w.sec)
}

func technical(names ...string) (out []journal.Standard) {
	for _, n := range names {
		out = append(out, journal.Standard{Name: n, Set: string(standards.Technical)})
	}
	return out
}
