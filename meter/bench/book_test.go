package bench_test

import (
	"bytes"
	"math"
	"testing"
	"time"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/bench"
	"github.com/stretchr/testify/require"
)

func ptr(v float64) *float64 { return &v }

var monday = time.Date(2026, 11, 2, 9, 0, 0, 0, time.UTC)

// plan has two bottles of base on one dropper and an acid on another.
func plan(t *testing.T, change func(*recipe.Plan)) *recipe.Setup {
	t.Helper()
	p := recipe.Plan{
		Target: recipe.Target{PH: ptr(7.4)}, Beaker: recipe.Beaker{StartML: ptr(400), FinalML: ptr(500)},
		Weighed: []recipe.Weighed{{Reagent: "HEPES", MMol: ptr(12.5)}},
		Titrants: []recipe.Titrant{
			{Name: "NaOH 1 M", Reagent: "NaOH", Molar: ptr(1), DropUL: ptr(50), Bottle: "B7", Dropper: "blue"},
			{Name: "NaOH 0.1 M", Reagent: "NaOH", Molar: ptr(0.1), DropUL: ptr(50), Bottle: "B8", Dropper: "blue"},
			{Name: "HCl 0.1 M", Reagent: "HCl", Molar: ptr(0.1), DropUL: ptr(50), Bottle: "A1", Dropper: "red"},
		},
	}
	if change != nil {
		change(&p)
	}
	s, err := recipe.Compile(p)
	require.NoError(t, err)
	return s
}

// ran is a run that saw a drop of B7 bring so many µmol.
func ran(at time.Time, umol float64) bench.Run {
	return bench.Run{At: at, Plan: "x", Journal: at.String(), SharedSDPct: 1.5,
		Drops: []bench.Drop{{Dropper: "blue", Bottle: "B7", Reagent: "sodium hydroxide", Molar: 1, DropUL: 50, Umol: umol, SDPct: 2}}}
}

func recalled(t *testing.T, b bench.Book, s *recipe.Setup, at time.Time) map[string]bench.TakenStock {
	t.Helper()
	taken := b.Recall(s, "", at)
	require.NoError(t, taken.Valid())
	out := map[string]bench.TakenStock{}
	for _, x := range taken.Stocks {
		out[x.Titrant] = x
	}
	return out
}

func total(x bench.TakenStock) float64 { return math.Hypot(x.SharedSDPct, x.OwnSDPct) }

// TestProductIsWhatIsKnown: prior 10 % of the drop and 4 % of the strength, seen
// 20 % above with 1.5, 2 and 1 % of a session: the product moves by 0.0116/0.012325
// of ln 1.2, the strength by 0.0016/0.012325 of it, and the product is known far
// better than either.
func TestProductIsWhatIsKnown(t *testing.T) {
	b := bench.Book{Runs: []bench.Run{ran(monday, 60)}}
	got := recalled(t, b, plan(t, nil), monday)
	ln := math.Log(1.2)
	v := 0.0116 + 0.015*0.015 + 0.02*0.02 + 0.01*0.01
	require.InDelta(t, math.Exp(0.0116/v*ln), got["NaOH 1 M"].Factor, 2e-4)
	require.InDelta(t, math.Exp(0.0016/v*ln), got["NaOH 1 M"].MLFactor, 2e-4)
	require.InDelta(t, 100*math.Sqrt(0.0116-0.0116*0.0116/v+0.0001), total(got["NaOH 1 M"]), 0.02)
	require.InDelta(t, 100*math.Sqrt(0.0016-0.0016*0.0016/v), got["NaOH 1 M"].MLSDPct, 0.02)
	// The other bottle on that dropper: the drop is known, its strength is not.
	require.InDelta(t, math.Exp(0.01/v*ln), got["NaOH 0.1 M"].Factor, 2e-4)
	require.Zero(t, got["NaOH 0.1 M"].Runs)
	require.Greater(t, total(got["NaOH 0.1 M"]), 1.3*total(got["NaOH 1 M"]))
	require.NotContains(t, got, "HCl 0.1 M", "another dropper and another bottle")
}

// TestAgeWidens: after a year two random walks of 1 % a root month are on top, each
// 12 months long; the widths of the law are in the test.
func TestAgeWidens(t *testing.T) {
	b := bench.Book{Runs: []bench.Run{ran(monday, 60)}}
	s := plan(t, nil)
	last := 0.0
	for _, m := range []float64{0, 1, 6, 12, 60} {
		at := monday.Add(time.Duration(m * 30.44 * 24 * float64(time.Hour)))
		v := 0.0116 + 2*1e-4*m + 0.015*0.015 + 0.02*0.02 + 0.01*0.01
		want := 100 * math.Sqrt(0.0116-0.0116*0.0116/v+0.0001)
		got := total(recalled(t, b, s, at)["NaOH 1 M"])
		require.InDelta(t, want, got, 0.05, "%g months", m)
		require.Greater(t, got, last)
		last = got
		was := monday.Add(-time.Duration(m * 30.44 * 24 * float64(time.Hour))) // by a clock that is behind, or one that was ahead then
		require.InDelta(t, want, total(recalled(t, b, s, was)["NaOH 1 M"]), 0.05, "%g months ahead", m)
	}
}

// TestMoreRunsAreSurer: and never surer than the drop falls from session to session.
func TestMoreRunsAreSurer(t *testing.T) {
	var b bench.Book
	s := plan(t, nil)
	last := math.Inf(1)
	for i := range 20 {
		b.Put(ran(monday.AddDate(0, 0, i), 60))
		x := recalled(t, b, s, monday.AddDate(0, 0, i))["NaOH 1 M"]
		require.Equal(t, i+1, x.Runs)
		if i < 8 {
			require.Less(t, total(x), last)
		}
		last = total(x)
	}
	require.Greater(t, last, 1.0)
	require.Less(t, last, 2.0)
}

// TestOtherBottleUnderTheName: another reagent, another label and a bottle opened
// since are not taken over, and it is said why.
func TestOtherBottleUnderTheName(t *testing.T) {
	b := bench.Book{Runs: []bench.Run{ran(monday, 60)}}
	for _, c := range []struct {
		name string
		do   func(*recipe.Plan)
		note string
	}{
		{"opened since", func(p *recipe.Plan) { p.Titrants[0].Opened = "2026-11-20" }, "opened after"},
		{"opened before", func(p *recipe.Plan) { p.Titrants[0].Opened = "2026-10-20" }, ""},
		{"other reagent", func(p *recipe.Plan) { p.Titrants[0].Reagent = "KOH" }, "held sodium hydroxide"},
		{"other label", func(p *recipe.Plan) { p.Titrants[0].Molar = ptr(2) }, "labelled 1 mol/L"},
	} {
		t.Run(c.name, func(t *testing.T) {
			taken := b.Recall(plan(t, c.do), "", monday.AddDate(0, 1, 0))
			if c.note == "" {
				require.NotEmpty(t, taken.Stocks)
				require.Empty(t, taken.Notes)
				return
			}
			require.Empty(t, taken.Stocks)
			require.Len(t, taken.Notes, 1)
			require.Contains(t, taken.Notes[0], c.note)
		})
	}
}

// TestWeighingAndStating: with the drop weighed to 1 % what was seen goes to the
// strength; with the strength stated to 0.3 % it goes to the drop.
func TestWeighingAndStating(t *testing.T) {
	b := bench.Book{Runs: []bench.Run{ran(monday, 60)}}
	b.Weighs = []bench.Weighed{{At: monday, Dropper: "Blue", UL: 50, SDPct: 1}}
	k := b.Known(monday)
	require.Len(t, k, 1)
	require.Greater(t, k[0].MolarNow, 1.08)
	require.Less(t, k[0].ULNow, 51.0)
	require.Len(t, b.Contradictions(), 1, "20 % off by a drop known to 1 % and a label to 4 %")

	b.Weighs = nil
	b.State(bench.Stated{At: monday, Bottle: "B7", Molar: 1.0, SDPct: 0.3})
	k = b.Known(monday)
	require.InDelta(t, 1.0, k[0].MolarNow, 0.01)
	require.Greater(t, k[0].ULNow, 57.0)
	require.Empty(t, b.Contradictions())
}

// TestForget: by each of its names, and no other.
func TestForget(t *testing.T) {
	s := plan(t, nil)
	for _, name := range []string{"b7", "BLUE", " B7 "} {
		b := bench.Book{Runs: []bench.Run{ran(monday, 60)}}
		require.Zero(t, b.Forget("B8"))
		require.Equal(t, 1, b.Forget(name))
		require.Empty(t, b.Runs)
		taken := b.Recall(s, "", monday)
		require.True(t, taken.Empty())
	}
	var b bench.Book
	b.Put(ran(monday, 60))
	b.Put(ran(monday, 58))
	require.Len(t, b.Runs, 1, "the same journal teaches once")
}

// Where only an electrode is known, the page begins with it and not with an empty line.
func TestAnElectrodeAloneIsListed(t *testing.T) {
	b := bench.Book{Runs: []bench.Run{{At: monday, Plan: "cold room", Electrode: &bench.Electrode{Name: "E7", TauS: 3.9}}}}
	var out bytes.Buffer
	require.NoError(t, bench.WriteText(&out, b, monday))
	require.Regexp(t, `^from these runs:\n.*; electrode E7, time constant 3\.9 s`, out.String())
}
