package prepare_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
)

// sheetFor is the text of the sheet for a buffer.
func sheetFor(t *testing.T, name string, ph, molar, litres float64, with string) string {
	t.Helper()
	return sheetOf(t, draft(t, demanded(t, name, ph, molar, litres, with)))
}

// A beaker holds what goes into it and is stirred, and no more: 970 mL go into no 1000 mL
// beaker, 801 mL do. A probe of a few millilitres needs a narrow vessel for the bulb.
func TestTheVesselFits(t *testing.T) {
	assert.Contains(t, sheetFor(t, "HEPES", 7.4, 0.05, 1, ""), "into a 1000 mL beaker")
	assert.Contains(t, sheetFor(t, "phosphate", 7.4, 1, 1, ""), "into a 2000 mL beaker") // 800 mL and 168
	assert.Contains(t, sheetFor(t, "HEPES", 7.4, 0.05, 0.5, ""), "into a 600 mL beaker")
	assert.Contains(t, sheetFor(t, "HEPES", 7.4, 0.05, 0.01, ""), "narrow beaker or vial")     // 8 mL
	assert.Contains(t, sheetFor(t, "HEPES", 7.4, 0.05, 0.024, ""), "into a 25 mL beaker")      // 19 mL
	assert.Contains(t, sheetFor(t, "HEPES", 7.4, 0.05, 10, ""), "into a vessel that holds 12") // 8 L
	assert.Contains(t, sheetFor(t, "HEPES", 7.4, 0.05, 1.9, ""), "volumetric flask")
	assert.NotContains(t, sheetFor(t, "HEPES", 7.4, 0.05, 2.5, ""), "volumetric flask")
}

// Where a drop is next to nothing the last steps are portions, and there is enough of the
// bottle for them: near its pKa 10 mol of HEPES take 0.06 mol for 0.01 pH (2.3 × 10 × α(1 − α)).
func TestLargeBatchesAreNotMadeByDrops(t *testing.T) {
	text := sheetFor(t, "HEPES", 7.2, 1, 10, "")
	assert.Contains(t, text, "The last tenth of a pH in portions of about 10 mL") // of 5 M
	assert.Contains(t, text, "Make 1000 mL of HCl 1 M")
	text = sheetFor(t, "HEPES", 7.2, 1, 0.1, "")
	assert.NotContains(t, text, "The last tenth of a pH in portions")
	assert.Contains(t, text, "Make 50 mL of HCl 1 M")
}

// A second, weaker bottle is offered only where a drop of the first moves something: a drop
// of NaOH 5 M in half a litre of 1 M HEPES moves 0.001 pH (50 µL × 5 M / 0.29 mol per pH).
// The way back is as strong as it takes: 0.1 pH of 3 M acetate are 55 mmol, and 41 mL are left.
func TestNoNeedlessBottle(t *testing.T) {
	text := sheetFor(t, "HEPES", 7.5, 1, 0.5, "")
	assert.Contains(t, text, "Make 100 mL of NaOH 5 M")
	assert.NotContains(t, text, "NaOH 2 M")
	assert.NotContains(t, text, "NaOH 1 M")
	text = sheetFor(t, "acetate", 5.2, 3, 0.5, "")
	assert.Contains(t, text, "Overshot? NaOH 5 M titrates back")
}

// Pellets of potassium hydroxide are no pure KOH: 140 g for 500 mL of 5 M are 165 of those.
func TestPelletsHoldWater(t *testing.T) {
	text := sheetFor(t, "phosphate", 7.4, 1, 1, "")
	assert.Contains(t, text, "140 g of solid KOH")
	assert.Contains(t, text, "of those 165 g")
	assert.NotContains(t, sheetFor(t, "HEPES", 7.4, 0.05, 1, ""), "Pellets")
}

// What is known to ± 2 tells no jar from another; what is known to ± 0.3 does.
func TestAFirstReadingThatTellsNothing(t *testing.T) {
	assert.Contains(t, sheetFor(t, "Tris", 8, 0.02, 0.1, "guanidine hydrochloride 6 M"), "look at the label twice")
	assert.Contains(t, sheetFor(t, "phosphate", 7.4, 1, 1, ""), "The meter will show about pH 3.9")
}

// A pair of salts that is not yet dissolved is not read.
func TestNothingIsReadBeforeItIsClear(t *testing.T) {
	d := buffer.NewDemand(7.4)
	d.Buffer, d.Molar, d.Volume, d.Way = "phosphate", 1, 1, buffer.BySalts
	var all []string
	for _, s := range draft(t, d).Sheet(prepare.Doing{}) {
		all = append(all, s.Text+" "+strings.Join(s.Details, " "))
	}
	assert.Contains(t, strings.Join(all, "\n"), "until it is clear, and only then read the pH")
}
