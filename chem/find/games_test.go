package find_test

import "example.org/halfdrop/chem/find"

// The kinds of determinations that are played.

var phthalate = []acid{{[]float64{2.95, 5.408}, 0, 0}}

func games() []game {
	drop := func(b *find.Bench) {
		s := &b.Stocks[0]
		s.By, s.SizeSD, s.ReadSD, s.Step = find.Drops, 0.004, 0, 0.04e-3
		b.Goal = 0.01
	}
	open := func(b *find.Bench) { b.PKs[0].SD, b.GoalPK, b.Goal = 2.5, 0.05, 0.005 }
	strength := func(sd float64) func(*find.Bench) {
		return func(b *find.Bench) { b.Stocks[0].StrengthSD = sd }
	}
	return []game{
		{name: "NaOH by phthalate", kit: kit{reagent: "potassium hydrogen phthalate", mmol: 2.5, partSD: 0.0006, ml: 50, titrant: "NaOH", molar: 0.1, what: find.Strength, pkSD: 0.03, change: strength(0.1)}, acids: phthalate, ions: 1},
		{name: "HCl by Tris", kit: kit{reagent: "Tris", mmol: 2.5, partSD: 0.0006, ml: 50, titrant: "HCl", molar: 0.1, what: find.Strength, pkSD: 0.03, change: strength(0.1)}, acids: []acid{{[]float64{8.072}, 1, 0}}},
		{name: "HCl by carbonate", kit: kit{reagent: "sodium carbonate", mmol: 1.2, partSD: 0.0006, ml: 50, titrant: "HCl", molar: 0.1, what: find.Strength, pkSD: 0.03, change: strength(0.1)}, acids: []acid{{[]float64{6.351, 10.329}, 0, 0}}, ions: 2},
		{name: "vinegar", kit: kit{reagent: "acetic acid", mmol: 2.5, partSD: 0.4, ml: 40, titrant: "NaOH", molar: 0.1, what: find.Amount, pkSD: 0.03}, acids: []acid{{[]float64{4.756}, 0, 0}}},
		{name: "phosphoric acid", kit: kit{reagent: "phosphoric acid", mmol: 1.1, partSD: 0.4, ml: 40, titrant: "NaOH", molar: 0.1, what: find.Amount, pkSD: 0.04}, acids: []acid{{[]float64{2.148, 7.198, 12.35}, 0, 0}}},
		{name: "HCl of a sample", kit: kit{reagent: "HCl", mmol: 2, partSD: 0.4, ml: 40, titrant: "NaOH", molar: 0.1, what: find.Amount}, ions: -1},
		{name: "unknown acid", kit: kit{reagent: "acetic acid", mmol: 2, partSD: 0.4, ml: 40, titrant: "NaOH", molar: 0.1, what: find.Constant, change: open}, acids: []acid{{[]float64{3.9}, 0, 0}}},
		{name: "acetic acid by drops", drops: true, kit: kit{reagent: "acetic acid", mmol: 0.3, partSD: 0.4, ml: 20, titrant: "NaOH", molar: 0.1, what: find.Amount, pkSD: 0.03, change: drop}, acids: []acid{{[]float64{4.756}, 0, 0}}},
	}
}
