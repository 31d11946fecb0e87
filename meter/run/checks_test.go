package run_test

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/sim"
)

// A CHECK is provoked on the simulated bench, each answer to it is given, and what the
// program says next is looked at, on readings that stand where they stood.

// stand is a bench whose person does what is said until a CHECK comes.
type stand struct {
	*bench
	given int
	// hands do the nth addition, from 1; what they do not do is done as ordered.
	hands func(p *stand, n int, v run.View) (done bool)
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
	k, err := run.NewKeeper(first(t, p), &run.Discard{}, wall)
	require.NoError(t, err)
	return &stand{bench: &bench{t: t, sim: s, keep: k}}
}

// second lets a second pass.
func (p *stand) second() run.View {
	p.t.Helper()
	p.sec++
	if p.each != nil {
		p.each(p)
	}
	p.sim.Advance(p.sec)
	r := run.Recorded(p.sim.Sample())
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
func (p *stand) until(of string) run.View {
	p.t.Helper()
	for p.sec < 1500 {
		v := p.second()
		switch v.Advice.Do {
		case coach.Check:
			if asks(v, of) {
				return v
			}
			p.t.Logf("%4.0f s: %s", p.sec, v.Sentence())
			e, _, err := p.keep.State.Passing(p.sec, 0)
			require.NoError(p.t, err)
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
	return run.View{}
}

// giveIt does what is ordered, in its unit.
func (p *stand) giveIt(v run.View) {
	p.t.Helper()
	ml := 0.0
	if v.Advice.Drops == 0 {
		ml = v.Advice.Volume.Millilitres()
	}
	a, err := p.keep.State.Addition(v.Titrant, v.Advice.Drops, ml)
	require.NoError(p.t, err)
	require.NoError(p.t, p.keep.Take(journal.Event{T: p.sec, Kind: journal.Added, Added: &a}))
	require.NoError(p.t, p.sim.Dispense(v.Titrant, v.Advice.Drops, ml))
}

// asks reports whether a CHECK asks a question, or one of several that it is.
func asks(v run.View, of string) bool {
	return slices.ContainsFunc(v.Codes(), func(c string) bool { return run.QuestionOf(c).Of == of })
}

// next is what is said after an answer, on readings that stand; said is what the CHECK
// was about.
func next(t *testing.T, s run.State, sec, ph float64, said []string) (run.View, float64) {
	t.Helper()
	k := run.ResumeKeeper(s, &run.Discard{}, wall)
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
	t.Fatalf("60 s of steady readings, and nothing but: %s (%s)", v.Sentence(), v.Why())
	return v, 0
}

func noNaN(t *testing.T, v run.View) {
	t.Helper()
	for name, x := range map[string]float64{"pH": v.PH, "aim": v.Advice.Aim, "after": v.Advice.After, "low": v.Advice.Low, "high": v.Advice.High, "chance": v.Advice.Chance, "mark": v.Mark} {
		require.False(t, math.IsNaN(x), "%s at %.0f s: %s", name, v.T, v.Sentence())
	}
	require.NotContains(t, v.Sentence()+v.Why(), "NaN")
}

// Plans that the questions are provoked on.
func phosphate() recipe.Plan {
	return recipe.Plan{
		Name: "phosphate, invented", Target: recipe.Target{PH: num(7.2), Tolerance: num(0.02)},
		Beaker:  recipe.Beaker{StartML: num(160), FinalML: num(200), TempC: num(22)},
		Weighed: []recipe.Weighed{{Reagent: "sodium dihydrogen phosphate", MMol: num(10)}},
		Titrants: []recipe.Titrant{
			{Name: "base", Reagent: "NaOH", Molar: num(1), DropUL: num(50)},
			{Name: "weak base", Reagent: "NaOH", Molar: num(0.1), DropUL: num(50)},
			{Name: "acid", Reagent: "HCl", Molar: num(1), DropUL: num(50)},
		},
	}
}

// hydrate is a plan with a salt that is sold with and without its water: 142 and 358
// grams a mole of disodium hydrogen phosphate.
func hydrate() recipe.Plan {
	p := phosphate()
	p.Target.PH = num(6.3)
	p.Weighed = []recipe.Weighed{{Reagent: "disodium phosphate anhydrous", Grams: num(1.42)}}
	p.Titrants = []recipe.Titrant{p.Titrants[2], {Name: "weak acid", Reagent: "HCl", Molar: num(0.1), DropUL: num(50)}, p.Titrants[0]}
	return p
}

// phthalate is the strength of a base against a weighed standard.
func phthalate() recipe.Plan {
	return recipe.Plan{Name: "base, invented", Find: &recipe.Find{What: "strength"},
		Beaker:   recipe.Beaker{StartML: num(50), FinalML: num(150), TempC: num(22)},
		Weighed:  []recipe.Weighed{{Reagent: "potassium hydrogen phthalate", Grams: num(0.5106)}},
		Titrants: []recipe.Titrant{{Name: "base", Reagent: "NaOH", Molar: num(0.1), By: "burette"}}}
}

func bottles(p recipe.Plan, names ...string) recipe.Plan {
	p.Titrants = slices.DeleteFunc(slices.Clone(p.Titrants), func(x recipe.Titrant) bool { return !slices.Contains(names, x.Name) })
	return p
}

func weighed(reagent string, mmol float64) func(*recipe.Setup, *sim.Truth) {
	return func(_ *recipe.Setup, tr *sim.Truth) {
		r, err := table.ByAmount(reagent)
		if err != nil {
			panic(err)
		}
		tr.Weighed = []recipe.Portion{{Reagent: r, Amount: chem.Amount(mmol) * chem.Millimole}}
	}
}

// provoked are the ways to each question that a titration asks.
func provoked(t *testing.T) map[string]func(t *testing.T) (*stand, run.View) {
	plain := func(p recipe.Plan, of string, truth func(*recipe.Setup, *sim.Truth)) func(*testing.T) (*stand, run.View) {
		return func(t *testing.T) (*stand, run.View) {
			b := newStand(t, p, truth)
			return b, b.until(of)
		}
	}
	strength := func(ln float64) func(*recipe.Setup, *sim.Truth) {
		return func(_ *recipe.Setup, tr *sim.Truth) { tr.LnStrength[0] = ln }
	}
	faulty := func(name string, onset float64) func(*recipe.Setup, *sim.Truth) {
		return func(_ *recipe.Setup, tr *sim.Truth) { tr.Faults = []sim.Fault{{Name: name, Onset: onset}} }
	}
	salts := phosphate()
	salts.Weighed = []recipe.Weighed{{Reagent: "sodium dihydrogen phosphate", MMol: num(9)}, {Reagent: "disodium hydrogen phosphate", MMol: num(2)}}
	tight := phosphate()
	tight.Beaker.FinalML = num(167)
	onlyAcid := bottles(phosphate(), "base", "weak base")
	bigDrop := bottles(phosphate(), "base")
	bigDrop.Titrants = []recipe.Titrant{{Name: "base", Reagent: "NaOH", Molar: num(12), DropUL: num(80)}}
	return map[string]func(*testing.T) (*stand, run.View){
		"exchanged": plain(salts, "exchanged", func(s *recipe.Setup, tr *sim.Truth) {
			tr.Weighed = []recipe.Portion{{Reagent: s.Weighed[1].Reagent, Amount: s.Weighed[0].Amount}, {Reagent: s.Weighed[0].Reagent, Amount: s.Weighed[1].Amount}}
		}),
		"faulty": plain(phosphate(), "faulty", faulty("lead", 30)),
		"moved": func(t *testing.T) (*stand, run.View) {
			b := newStand(t, phosphate(), nil)
			b.each = func(p *stand) {
				if en, ok := p.keep.State.Latest(); ok && p.given == 1 && p.sec == en.T+25 {
					require.NoError(t, p.sim.Dispense("acid", 25, 0))
				}
			}
			b.hands = func(p *stand, n int, v run.View) bool {
				if en, ok := p.keep.State.Latest(); ok && p.sec < en.T+60 {
					p.given--
					return true // the hands are slow
				}
				return false
			}
			return b, b.until("moved")
		},
		"stuck": func(t *testing.T) (*stand, run.View) {
			b := newStand(t, phosphate(), nil)
			held := math.NaN()
			b.shows = func(p *stand) float64 {
				if math.IsNaN(held) && p.given > 0 {
					held = p.sim.Shown()
				}
				return held
			}
			return b, b.until("stuck")
		},
		"calibration": func(t *testing.T) (*stand, run.View) {
			b := newStand(t, phosphate(), nil)
			require.NoError(t, b.keep.Take(journal.Event{Kind: journal.Calibrated, Calibration: judged(t, dawn.Add(-9*24*time.Hour), 2.99*50, 0)}))
			return b, b.until("calibration")
		},
		"no_room":    plain(tight, "no_room", strength(math.Log(0.75))),
		"no_titrant": plain(onlyAcid, "no_titrant", func(_ *recipe.Setup, tr *sim.Truth) { tr.Excess = 0.9 }),
		"no_way_back": func(t *testing.T) (*stand, run.View) {
			b := newStand(t, onlyAcid, nil)
			b.hands = func(p *stand, n int, v run.View) bool {
				p.add(v.Titrant, v.Advice.Drops+20)
				return true
			}
			return b, b.until("no_way_back")
		},
		"misfit": plain(phthalate(), "misfit", func(s *recipe.Setup, tr *sim.Truth) {
			weighed("Tris hydrochloride", 2.5)(s, tr)
			tr.Noise = 0.001
		}),
		"no_point":     plain(phthalate(), "no_point", strength(-6)),
		"drop_too_big": plain(bigDrop, "drop_too_big", nil),
		"given": func(t *testing.T) (*stand, run.View) {
			b := newStand(t, phosphate(), nil)
			b.hands = func(p *stand, n int, v run.View) bool {
				if n == 1 {
					require.NoError(t, p.sim.Dispense(v.Titrant, v.Advice.Drops, 0))
				}
				return true
			}
			return b, b.until("given")
		},
		"other_hydrate": func(t *testing.T) (*stand, run.View) {
			b := newStand(t, hydrate(), func(s *recipe.Setup, tr *sim.Truth) { tr.LnAmount = math.Log(141.96 / 358.14) })
			return b, b.until("other_hydrate")
		},
		"other_form": plain(tris(), "other_form", weighed("Tris hydrochloride", 20)),
		"amount":     plain(phosphate(), "amount", func(_ *recipe.Setup, tr *sim.Truth) { tr.LnAmount = math.Log(0.5) }),
		"stock":      plain(phosphate(), "stock", strength(math.Log(0.1))),
		"kind":       plain(phosphate(), "kind", faulty("wrong_titrant", 0)),
		"electrode": func(t *testing.T) (*stand, run.View) {
			b := newStand(t, phosphate(), nil)
			r := rand.New(rand.NewPCG(3, 4))
			b.shows = func(p *stand) float64 { return 4.62 + 0.004*r.NormFloat64() }
			return b, b.until("electrode")
		},
		"missed": func(t *testing.T) (*stand, run.View) {
			b := newStand(t, phosphate(), nil)
			b.hands = func(p *stand, n int, v run.View) bool {
				if n != 3 {
					return false
				}
				a, err := p.keep.State.Addition(v.Titrant, v.Advice.Drops, 0)
				require.NoError(t, err)
				require.NoError(t, p.keep.Take(journal.Event{T: p.sec, Kind: journal.Added, Added: &a}))
				return true
			}
			return b, b.until("missed")
		},
		"unlogged": func(t *testing.T) (*stand, run.View) {
			b := newStand(t, phosphate(), nil)
			b.hands = func(p *stand, n int, v run.View) bool {
				if n == 2 {
					require.NoError(t, p.sim.Dispense("acid", 30, 0))
				}
				return false
			}
			return b, b.until("unlogged")
		},
	}
}

// TestEveryCheckHasAnswersThatLeadOn gives each answer to each question.
func TestEveryCheckHasAnswersThatLeadOn(t *testing.T) {
	ways := provoked(t)
	for _, q := range run.Questions {
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

var update = flag.Bool("update", false, "write the table of checks into DEVELOPERS.md")

// TestTableOfChecks: the guide for developers has the table that the program goes by.
// Write it with go test ./meter/run -run TableOfChecks -update.
func TestTableOfChecks(t *testing.T) {
	const file, begins, ends = "../../DEVELOPERS.md", "<!-- checks -->\n", "<!-- end of checks -->\n"
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	head, rest, ok := strings.Cut(string(text), begins)
	require.True(t, ok)
	old, tail, ok := strings.Cut(rest, ends)
	require.True(t, ok)
	var b strings.Builder
	b.WriteString("| check | look at | answer | to the belief | next |\n| --- | --- | --- | --- | --- |\n")
	for _, q := range run.Questions {
		of, look := "`"+q.Of+"`: "+q.Asks, q.Look
		for _, r := range q.Replies {
			fmt.Fprintf(&b, "| %s | %s | %s: %s | %s | %s |\n", of, look, r.Key, r.Short, r.Does, r.Next)
			of, look = "", ""
		}
	}
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(head+begins+b.String()+ends+tail), 0o644))
		return
	}
	require.Equal(t, b.String(), old)
}

// answered is the state after an answer, and what the meter shows then.
func answered(t *testing.T, b *stand, v run.View, of, key string) (run.State, float64) {
	t.Helper()
	s := b.keep.State
	code := v.Codes()[0]
	for _, c := range v.Codes() {
		if run.QuestionOf(c).Of == of {
			code = c
			break
		}
	}
	var e journal.Event
	var err error
	switch key {
	case "c":
		e, _, err = s.Passing(b.sec, 0)
	case "y":
		e, _, err = s.Confirming(b.sec, code)
	case "+":
		e, err = run.BottleEvent(b.sec, bottleFor(v))
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
func bottleFor(v run.View) recipe.Titrant {
	reagent := "NaOH"
	if v.Settling.End > v.Advice.Aim {
		reagent = "HCl"
	}
	return recipe.Titrant{Name: "another " + reagent, Reagent: reagent, Molar: num(0.02), DropUL: num(50)}
}
