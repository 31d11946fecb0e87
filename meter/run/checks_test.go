package run_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/brought"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/sim"
)

// A CHECK is provoked on the simulated bench, each answer to it is given, and what the
// program says next is looked at, on readings that stand where they stood.

// stand is a bench whose person does what is said until a CHECK comes.
type stand struct {
	*bench
	given int
	// hands do the nth addition, from 1; what they do not do is done as ordered.
	hands func(p *stand, n int, v view.View) (done bool)
	// each second, before the reading.
	each func(p *stand)
	// shows is what the meter shows instead of the beaker, NaN for nothing else.
	shows func(p *stand) float64
}

func newStand(t *testing.T, p recipe.Plan, truth func(*recipe.Setup, *sim.Truth)) *stand {
	t.Helper()
	setup, err := recipe.Compile(p)
	require.NoError(t, err)
	tr := sim.Truth{Temp: 22, Decimals: 3, Tau: 3, Mixing: 1, Noise: 0.002, Scatter: 0.03, Seed: 7,
		LnDrop: make([]float64, 4), LnStrength: make([]float64, len(setup.Stocks))}
	if truth != nil {
		truth(setup, &tr)
	}
	s, err := sim.New(setup, tr)
	require.NoError(t, err)
	k, err := keep.NewKeeper(first(p), &keep.Discard{}, wall)
	require.NoError(t, err)
	return &stand{bench: &bench{t: t, sim: s, keep: k}}
}

// second lets a second pass.
func (p *stand) second() view.View {
	p.t.Helper()
	p.sec++
	if p.each != nil {
		p.each(p)
	}
	p.sim.Advance(p.sec)
	r := recorded.Reading(p.sim.Sample())
	if p.shows != nil {
		if y := p.shows(p); !math.IsNaN(y) {
			y = math.Round(1000*y) / 1000
			r.PH = &y
		}
	}
	require.NoError(p.t, p.keep.Take(journal.Event{T: p.sec, Kind: journal.Read, Reading: r}))
	return p.keep.Look(p.sec)
}

// until plays until a CHECK of a question.
func (p *stand) until(of string) view.View {
	p.t.Helper()
	for p.sec < 1500 {
		v := p.second()
		switch v.Advice.Do {
		case coach.Check:
			if asks(v, of) {
				return v
			}
			p.t.Logf("%4.0f s: %s | %s", p.sec, v.Sentence(), v.Why())
			e, _, err := propose.Passing(p.keep.State, p.sec, 0)
			require.NoError(p.t, err)
			if f, bad := view.Unsound(v.Spotted); bad && f.Outside { // it is, and nothing was given
				e = journal.Event{T: p.sec, Kind: journal.Immersed}
			}
			require.NoError(p.t, p.keep.Take(e))
		case coach.Add:
			if v.Falling != nil {
				continue
			}
			p.given++
			if p.hands == nil || !p.hands(p, p.given, v) {
				p.giveIt(v)
			}
		case coach.Stop:
			p.t.Fatalf("%.0f s: done, read %.3f, and no CHECK of %s", p.sec, v.Read.PH, of)
		}
	}
	p.t.Fatalf("no CHECK of %s", of)
	return view.View{}
}

// giveIt does what is ordered, in its unit.
func (p *stand) giveIt(v view.View) {
	p.t.Helper()
	ml := 0.0
	if v.Advice.Drops == 0 {
		ml = v.Advice.Volume.Millilitres()
	}
	a, err := p.keep.State.Addition(v.Titrant, v.Advice.Drops, ml)
	require.NoError(p.t, err)
	require.NoError(p.t, p.keep.Take(journal.Event{T: p.sec, Kind: journal.Added, Added: &a}))
	require.NoError(p.t, p.sim.Dispense(v.Titrant, v.Advice.Drops, chem.Volume(ml)*chem.Millilitre))
}

// asks reports whether a CHECK asks a question, or one of several that it is.
func asks(v view.View, of string) bool {
	return slices.ContainsFunc(v.Codes(), func(c string) bool { return view.QuestionOf(c).Of == of })
}

// next is what is said after an answer, on readings that stand; said is what the CHECK
// was about.
func next(t *testing.T, s run.State, sec, ph float64, said []string) (view.View, float64) {
	t.Helper()
	k := keep.ResumeKeeper(s, &keep.Discard{}, wall)
	r := rand.New(rand.NewPCG(uint64(1e4*ph), 5))
	v := k.Look(sec)
	for i := 1.0; i <= 60; i++ {
		y := math.Round(1000*(ph+0.002*r.NormFloat64())) / 1000
		require.NoError(t, k.Take(journal.Event{T: sec + i, Kind: journal.Read, Reading: &journal.Reading{PH: &y, Decimals: 3}}))
		v = k.Look(sec + i)
		a := v.Advice
		noNaN(t, v)
		switch {
		case a.Do == coach.Check:
			require.NotEqual(t, said, v.Codes(), "%.0f s later: the same CHECK again: %s", i, v.Sentence())
			return v, i
		case a.Do == coach.Add && a.Reason != coach.Dosing, a.Do == coach.Stop, a.Reason == coach.HandsOff:
			return v, i
		case a.Do == coach.Wait && slices.Contains([]coach.Reason{coach.NoTitrant, coach.NoWayBack, coach.DropTooBig}, a.Reason) && i > 3:
			return v, i
		}
	}
	if v.Offer != nil { // what may be given now, for who does not want to wait for a better reading
		return v, 60
	}
	t.Fatalf("60 s of steady readings, and nothing but: %s (%s)", v.Sentence(), v.Why())
	return v, 0
}

func noNaN(t *testing.T, v view.View) {
	t.Helper()
	for name, x := range map[string]float64{"pH": v.PH, "aim": v.Advice.Aim, "after": v.Advice.After, "low": v.Advice.Low, "high": v.Advice.High, "chance": v.Advice.Chance, "mark": v.Mark} {
		require.False(t, math.IsNaN(x), "%s at %.0f s: %s", name, v.T, v.Sentence())
	}
	require.NotContains(t, v.Sentence()+v.Why(), "NaN")
}

// TestEveryCheckHasAnswersThatLeadOn gives each answer to each question.
func TestEveryCheckHasAnswersThatLeadOn(t *testing.T) {
	ways := provoked(t)
	for _, q := range view.Questions {
		provoke := ways[q.Of]
		t.Run(q.Of, func(t *testing.T) {
			require.NotNil(t, provoke, "nobody provokes it")
			b, v := provoke(t)
			t.Logf("%4.0f s: %s | %s", b.sec, v.Sentence(), v.Why())
			for _, r := range q.Replies {
				t.Run(r.Key, func(t *testing.T) {
					s, ph := answered(t, b, v, q.Of, r.Key)
					n, after := next(t, s, b.sec, ph, v.Codes())
					t.Logf("%s: %2.0f s later: %s | %s", r.Short, after, n.Sentence(), n.Why())
				})
			}
		})
	}
}

// answered is the state after an answer, and what the meter shows then.
func answered(t *testing.T, b *stand, v view.View, of, key string) (run.State, float64) {
	t.Helper()
	s := b.keep.State
	code := v.Codes()[0]
	for _, c := range v.Codes() {
		if view.QuestionOf(c).Of == of {
			code = c
			break
		}
	}
	var e journal.Event
	var err error
	switch key {
	case "c":
		e, _, err = propose.Passing(s, b.sec, 0)
	case "y":
		e, _, err = propose.Confirming(s, b.sec, code)
	case "+":
		e, err = brought.Event(b.sec, bottleFor(v))
	case "u":
		en, ok := s.Latest()
		require.True(t, ok)
		e = journal.Event{T: b.sec, Kind: journal.Undone, Undo: &journal.Undo{Seq: en.Seq}}
	case "i":
		e = journal.Event{T: b.sec, Kind: journal.Immersed}
	case "n":
		e = journal.Event{T: b.sec, Kind: journal.Declined}
	case "Enter", "0-9", "t":
		drops, name := v.Advice.Drops, v.Titrant
		switch {
		case of != "given": // it was the acid that fell
			drops, name = 27, "acid"
		case key == "0-9":
			drops--
		case key == "t":
			name = "weak base"
		}
		a, err := s.Addition(name, drops, 0)
		require.NoError(t, err)
		e = journal.Event{T: b.sec, Kind: journal.Added, Added: &a}
	default:
		t.Fatalf("an answer that nobody walks: %s", key)
	}
	require.NoError(t, err)
	e.Seq = s.Seq + 1
	s, err = run.Step(s, e)
	require.NoError(t, err)
	return s, v.Settling.End
}

// bottleFor is a bottle that leads to the aim, weak enough.
func bottleFor(v view.View) recipe.Titrant {
	reagent := "NaOH"
	if v.Settling.End > v.Advice.Aim {
		reagent = "HCl"
	}
	return recipe.Titrant{Name: "another " + reagent, Reagent: reagent, Molar: num(0.02), DropUL: num(50)}
}
