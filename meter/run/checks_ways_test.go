package run_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/sim"
)

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
func provoked(t *testing.T) map[string]func(t *testing.T) (*stand, view.View) {
	plain := func(p recipe.Plan, of string, truth func(*recipe.Setup, *sim.Truth)) func(*testing.T) (*stand, view.View) {
		return func(t *testing.T) (*stand, view.View) {
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
	dilute := bottles(phosphate(), "base")
	dilute.Titrants = []recipe.Titrant{{Name: "base", Reagent: "NaOH", Molar: num(0.4), DropUL: num(25)}}
	return map[string]func(*testing.T) (*stand, view.View){
		"many_drops": plain(dilute, "many_drops", nil),
		"exchanged": plain(salts, "exchanged", func(s *recipe.Setup, tr *sim.Truth) {
			tr.Weighed = []recipe.Portion{{Reagent: s.Weighed[1].Reagent, Amount: s.Weighed[0].Amount}, {Reagent: s.Weighed[0].Reagent, Amount: s.Weighed[1].Amount}}
		}),
		"faulty": plain(phosphate(), "faulty", faulty("lead", 30)),
		"wrong_salt": func(t *testing.T) (*stand, view.View) {
			b := newStand(t, phosphate(), weighed("Na2HPO4", 10))
			b.shows = func(p *stand) float64 { // the electrode comes from a standard
				return 7 + (p.sim.Shown()-7)*(1-math.Exp(-math.Max(0, p.sec-5)/4))
			}
			return b, b.until("wrong_salt")
		},
		"moved": func(t *testing.T) (*stand, view.View) {
			b := newStand(t, phosphate(), nil)
			b.each = func(p *stand) {
				if en, ok := p.keep.State.Latest(); ok && p.given == 1 && p.sec == en.T+25 {
					require.NoError(t, p.sim.Dispense("acid", 25, 0))
				}
			}
			b.hands = func(p *stand, n int, v view.View) bool {
				if en, ok := p.keep.State.Latest(); ok && p.sec < en.T+60 {
					p.given--
					return true // the hands are slow
				}
				return false
			}
			return b, b.until("moved")
		},
		"stuck": func(t *testing.T) (*stand, view.View) {
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
		"calibration": func(t *testing.T) (*stand, view.View) {
			b := newStand(t, phosphate(), nil)
			require.NoError(t, b.keep.Take(journal.Event{Kind: journal.Calibrated, Calibration: judged(t, dawn.Add(-9*24*time.Hour), 2.99*50, 0)}))
			return b, b.until("calibration")
		},
		"no_room":    plain(tight, "no_room", strength(math.Log(0.75))),
		"no_titrant": plain(onlyAcid, "no_titrant", func(_ *recipe.Setup, tr *sim.Truth) { tr.Excess = 0.9 }),
		"no_way_back": func(t *testing.T) (*stand, view.View) {
			b := newStand(t, onlyAcid, nil)
			b.hands = func(p *stand, n int, v view.View) bool {
				p.add(v.Titrant, v.Advice.Drops+60)
				return true
			}
			return b, b.until("no_way_back")
		},
		"absent":  plain(tris(), "absent", weighed("Tris", 1e-5)),
		"another": plain(tris(), "another", weighed("glycine", 20)),
		"misfit": plain(phthalate(), "misfit", func(s *recipe.Setup, tr *sim.Truth) {
			weighed("Tris hydrochloride", 2.5)(s, tr)
			tr.Noise = 0.001
		}),
		"no_point":     plain(phthalate(), "no_point", strength(-6)),
		"drop_too_big": plain(bigDrop, "drop_too_big", nil),
		"given": func(t *testing.T) (*stand, view.View) {
			b := newStand(t, phosphate(), nil)
			b.hands = func(p *stand, n int, v view.View) bool {
				if n == 1 {
					require.NoError(t, p.sim.Dispense(v.Titrant, v.Advice.Drops, 0))
				}
				return true
			}
			return b, b.until("given")
		},
		"other_hydrate": func(t *testing.T) (*stand, view.View) {
			b := newStand(t, hydrate(), func(s *recipe.Setup, tr *sim.Truth) { tr.LnAmount = math.Log(141.96 / 358.14) })
			return b, b.until("other_hydrate")
		},
		"other_form": plain(tris(), "other_form", weighed("Tris hydrochloride", 20)),
		"amount":     plain(phosphate(), "amount", func(_ *recipe.Setup, tr *sim.Truth) { tr.LnAmount = math.Log(0.5) }),
		"stock":      plain(phosphate(), "stock", strength(math.Log(0.1))),
		"kind":       plain(phosphate(), "kind", faulty("wrong_titrant", 0)),
		"electrode": func(t *testing.T) (*stand, view.View) {
			b := newStand(t, phosphate(), nil)
			r := rand.New(rand.NewPCG(3, 4))
			b.shows = func(p *stand) float64 { return 4.62 + 0.004*r.NormFloat64() }
			return b, b.until("electrode")
		},
		"missed": func(t *testing.T) (*stand, view.View) {
			b := newStand(t, phosphate(), nil)
			b.hands = func(p *stand, n int, v view.View) bool {
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
		"bottle": func(t *testing.T) (*stand, view.View) {
			b := newStand(t, phosphate(), nil)
			b.hands = func(p *stand, n int, v view.View) bool {
				if n != 2 {
					return false
				}
				require.NoError(t, p.sim.Dispense("weak base", v.Advice.Drops, 0))
				a, err := p.keep.State.Addition(v.Titrant, v.Advice.Drops, 0)
				require.NoError(t, err)
				require.NoError(t, p.keep.Take(journal.Event{T: p.sec, Kind: journal.Added, Added: &a}))
				return true
			}
			return b, b.until("bottle")
		},
		"unlogged": func(t *testing.T) (*stand, view.View) {
			b := newStand(t, phosphate(), nil)
			b.hands = func(p *stand, n int, v view.View) bool {
				if n == 2 {
					require.NoError(t, p.sim.Dispense("acid", 30, 0))
				}
				return false
			}
			return b, b.until("unlogged")
		},
	}
}
