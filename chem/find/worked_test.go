package find_test

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
)

// Worked examples of standardisation: what was weighed, the volume to the end point, the
// strength that the book works out. The readings in between are those of the flask of this
// package's tests, which shares no code with the program; mass, molar mass, stoichiometry
// and estimate are the program's, from a plan as a person writes it.
func TestWorkedExamplesOfStandardisation(t *testing.T) {
	carbonate := []acid{{[]float64{6.351, 10.329}, 0, 0}}
	for _, c := range []struct {
		src, standard, titrant string
		grams, ml, mmol        float64 // mmol by hand: mass over molar mass of the book
		acids                  []acid
		ions                   float64 // strong charge a mole of the standard
		per                    float64 // strong charge that a mole of the standard takes up until the end
		want                   float64 // mol/L, as printed
		digits                 float64 // half of its last digit
	}{
		{"R. Chang, Chemistry, example 4.10 (from memory): 0.5468 g of KHP, 23.48 mL", "potassium hydrogen phthalate", "NaOH", 0.5468, 23.48, 0.5468 / 204.2 * 1e3, phthalate, 1, 1, 0.1141, 0.00005},
		{"S. S. Zumdahl, Chemistry, sample exercise 4.15 (from memory): 1.3009 g of KHP, 41.20 mL", "potassium hydrogen phthalate", "NaOH", 1.3009, 41.20, 1.3009 / 204.22 * 1e3, phthalate, 1, 1, 0.1546, 0.00005},
		{"D. A. Skoog et al., Fundamentals of Analytical Chemistry, problem of chapter 13 (from memory): 0.4512 g of Na2CO3, 36.44 mL of H2SO4", "sodium carbonate anhydrous", "sulfuric acid", 0.4512, 36.44, 0.4512 / 105.99 * 1e3, carbonate, 2, -2, 0.1168, 0.00005},
		// What a pharmacopoeia has of volumetric solutions: so many mg of the standard for each mL.
		{"USP, volumetric solutions (from memory): 121.14 mg of tromethamine for each mL of 1 N HCl", "Tris", "HCl", 0.121140 * 2.5, 25, 2.5, []acid{{[]float64{8.072}, 1, 0}}, 0, -1, 0.1, 0.00005},
		{"USP, volumetric solutions (from memory): 52.99 mg of Na2CO3 for each mL of 1 N HCl", "sodium carbonate anhydrous", "HCl", 0.05299 * 2.5, 25, 1.25, carbonate, 2, -2, 0.1, 0.00005},
		{"USP, volumetric solutions (from memory): 20.42 mg of KHP for each mL of 0.1 N NaOH", "potassium hydrogen phthalate", "NaOH", 0.02042 * 24, 24, 2.4, phthalate, 1, 1, 0.1, 0.00005},
	} {
		t.Run(fmt.Sprint(c.grams), func(t *testing.T) {
			num := func(x float64) *float64 { return &x }
			label := math.Round(c.want*20) / 20 // the bottle says something rounder
			s, err := recipe.Compile(recipe.Plan{Name: "x", Find: &recipe.Find{What: "strength", GuessPct: num(30)}, Beaker: recipe.Beaker{StartML: num(50), FinalML: num(150)},
				Weighed:  []recipe.Weighed{{Reagent: c.standard, Grams: num(c.grams)}},
				Titrants: []recipe.Titrant{{Name: "bottle", Reagent: c.titrant, Molar: num(label), By: "burette", MolarSDPct: num(25)}}})
			require.NoError(t, err)
			b, err := s.Bench(25)
			require.NoError(t, err)
			g := b.Guide.(*find.Bench)
			var h coach.History
			last := 0.0
			for _, share := range []float64{0, 0.3, 0.6, 0.9, 0.97, 0.99, 1.01, 1.03, 1.1} {
				ml := share * c.ml
				if ml > last {
					h.Additions, last = append(h.Additions, coach.Addition{Volume: chem.Volume(ml-last) * chem.Millilitre}), ml
				}
				n := c.mmol / 1e3
				q := share * n * c.per
				f := flask{litres: 0.05 + ml/1e3, strong: c.ions*n + q, salt: c.ions*n + math.Abs(q)}
				for _, a := range c.acids {
					a.mol = n
					f.acids = append(f.acids, a)
				}
				if c.titrant == "sulfuric acid" {
					f.strong, f.salt = f.strong-q, f.salt-math.Abs(q)
					f.acids = append(f.acids, acid{[]float64{-3, 1.987}, 0, -q / 2})
				}
				h.Observations = append(h.Observations, coach.Observation{After: len(h.Additions), PH: f.ph(), SD: 0.005})
			}
			bel, err := g.Believe(h)
			require.NoError(t, err)
			f := bel.Found()
			require.GreaterOrEqual(t, f.Main, 0)
			t.Logf("%s: %.5f ± %.5f mol/L, equivalence %.3f mL", c.src, f.Value, f.SD, f.Stations[f.Main].Volume.Millilitres())
			assert.InDelta(t, c.want, f.Value, c.digits+f.SD, c.src)
			assert.Less(t, f.Relative(), 0.003)
			assert.InDelta(t, c.ml, f.Stations[f.Main].Volume.Millilitres(), 0.002*c.ml, c.src)
		})
	}
}

// A worked example of Gran's method, with its data: the log of a course on bicarbonate
// water (M. Weber-Shirk, CEE 4530, its file Lab4_Sample1_Time0.txt, seen). Its program has
// the function of Gran in column F1 and an equivalent volume of 0.59 mL.
func TestWorkedExampleOfGran(t *testing.T) {
	const path = "../../testdata/recordings/bicarbonate-gran/Lab4_Sample1_Time0.txt"
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Contains(t, strings.ReplaceAll(string(text), "\r", ""), "Equivalent Volume (ml)\t0.59")
	var dots []find.Dot
	for _, r := range numbers(t, path, '\t') {
		if len(r) < 3 || math.IsNaN(r[0]) || math.IsNaN(r[1]) || r[1] == 6.47 { // that one had not settled
			continue
		}
		dots = append(dots, find.Dot{ML: r[0], PH: r[1]})
	}
	c := find.Classical(dots, find.Near{ML: 0.59, Start: 50}, false)
	t.Logf("Gran after the point %.4f mL, before it %.4f mL", c.After, c.Before)
	assert.InDelta(t, 0.59, c.After, 0.005, "the line of F1, which the program of the course has drawn")
	assert.InDelta(t, 0.59, c.Before, 0.005)
}

// Gran's functions of a dibasic acid, on a flask that shares no code with them: 1 mmol of
// one with pK 4 and 9 in 100 mL, 0.1 M base, 10.00 and 20.00 mL. In it activities change by
// little; the rest is what they do.
func TestGranBetweenTwoPoints(t *testing.T) {
	var dots []find.Dot
	for ml := 0.0; ml <= 26; ml += 0.5 {
		f := flask{litres: 0.1 + ml/1e3, strong: ml * 1e-4, salt: 0.01 + ml*1e-4, acids: []acid{{[]float64{4, 9}, 0, 1e-3}}}
		dots = append(dots, find.Dot{ML: ml, PH: f.ph()})
	}
	one, two := find.Classical(dots, find.Near{ML: 10, Start: 100, Next: 20}, false), find.Classical(dots, find.Near{ML: 20, Start: 100, Prev: 10}, false)
	t.Logf("%+v %+v", one, two)
	assert.InDelta(t, 10, one.Before, 0.1)
	assert.InDelta(t, 10, one.After, 0.1)
	assert.InDelta(t, 20, two.Before, 0.25)
	assert.InDelta(t, 20, two.After, 0.25)
	simple := find.Classical(dots, find.Near{ML: 20, Start: 100}, false)
	assert.Greater(t, 20-simple.Before, 1.0, "the line of a simple acid leads elsewhere")
}
