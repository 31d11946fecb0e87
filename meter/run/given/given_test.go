package given_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/runtest"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/spot"
)

const ml = chem.Millilitre

// three are additions of 1, 2 and 4 mL, of which the second was withdrawn.
func three() given.List {
	var l given.List
	for i, v := range []chem.Volume{1, 2, 4} {
		l = l.Add(view.Entry{Seq: int64(10 * (i + 1)), T: float64(100 * (i + 1)), From: float64(100*(i+1)) - 10, Drops: float64(20 * v), Volume: v * ml})
	}
	return l.Withdrawn(1)
}

func TestWhatIsInForce(t *testing.T) {
	all := three()
	assert.Equal(t, 2, all.Count())
	assert.Equal(t, 1, all.Position(2), "the withdrawn one has no place")
	en, ok := all.InPosition(2)
	require.True(t, ok)
	assert.EqualValues(t, 30, en.Seq)
	assert.Equal(t, -1, all.Find(20))
	assert.Equal(t, -1, all.Find(0), "no addition has this number")
	en, ok = all.InForce(0)
	assert.True(t, ok)
	assert.EqualValues(t, 30, en.Seq, "the latest")
	assert.EqualValues(t, 10, all.Withdrawn(2).LatestSeq())
	assert.Zero(t, given.List{}.LatestSeq())
	assert.InDelta(t, 5, all.Volume(0).Millilitres(), 1e-9)
	assert.InDelta(t, 4, all.Volume(10).Millilitres(), 1e-9)
}

// A list is a value: what gives another leaves the first as it was.
func TestAListStays(t *testing.T) {
	all := three()
	other := all.Restated(0, view.Entry{Stock: 1, Drops: 7, Volume: 0.35 * ml})
	assert.True(t, other[0].Changed)
	assert.EqualValues(t, 10, other[0].Seq)
	assert.Equal(t, 20.0, all[0].Drops)
	assert.False(t, all.Withdrawn(0)[2].Undone)
	assert.False(t, all[0].Undone)
}

// Waiting counts from the first reading and from each addition to the next, 280 s of it
// at the most.
func TestWaited(t *testing.T) {
	assert.InDelta(t, (90-40)+(290-100), three().Waited(40), 1e-9)
	late := given.List{{T: 900, From: 900}}
	assert.InDelta(t, 280, late.Waited(0), 1e-9)
}

// People number what they have keyed, the coach what is in the beaker.
func TestNumbersOfPeople(t *testing.T) {
	a := three().Numbered(coach.Advice{Mistakes: []coach.Mistake{{Name: "addition 2 missed the beaker"}}})
	assert.Equal(t, "addition 3 missed the beaker", a.Mistakes[0].Name)
	f := three().NumberedFindings([]spot.Finding{{Evidence: "after addition 1 and addition 9"}})
	assert.Equal(t, "after addition 1 and addition 9", f[0].Evidence, "there is no ninth")
}

func setup(t *testing.T, p recipe.Plan) *recipe.Setup {
	t.Helper()
	s, err := recipe.Compile(p)
	require.NoError(t, err)
	return s
}

func TestEntry(t *testing.T) {
	s := setup(t, runtest.Tris())
	for name, tt := range map[string]struct {
		a    journal.Addition
		want error
	}{
		"drops":             {journal.Addition{Titrant: "acid", Drops: 3}, nil},
		"mL":                {journal.Addition{Titrant: "acid", ML: 0.15}, nil},
		"nothing":           {journal.Addition{Titrant: "acid"}, given.ErrAmount},
		"less than nothing": {journal.Addition{Titrant: "acid", Drops: -1}, given.ErrAmount},
		"a lake":            {journal.Addition{Titrant: "acid", ML: 20_001}, given.ErrTooMuch},
		"another bottle":    {journal.Addition{Titrant: "vinegar", Drops: 1}, given.ErrNoTitrant},
	} {
		t.Run(name, func(t *testing.T) {
			en, err := given.Entry(s, tt.a)
			if tt.want != nil {
				assert.ErrorIs(t, err, tt.want)
				return
			}
			require.NoError(t, err)
			assert.InDelta(t, 0.15, en.Volume.Millilitres(), 1e-9)
		})
	}
}

// More than nine times the order, or half a millilitre over the mark, is asked about.
func TestDoubt(t *testing.T) {
	s := setup(t, runtest.Tris()) // 160 mL under a mark of 200
	order := &journal.Advice{Titrant: "acid", Drops: 6, ML: 0.3}
	for name, tt := range map[string]struct {
		drops float64
		c     given.Case
		why   string // empty for none
	}{
		"as ordered":            {6, given.Case{Order: order}, ""},
		"nine times":            {54, given.Case{Order: order}, ""},
		"a point left out":      {60, given.Case{Order: order}, "more than 9 times the 6 drops ordered; up to 54 drops is"},
		"more":                  {55, given.Case{Order: order}, "more than 9 times the 6 drops ordered"},
		"more, without order":   {61, given.Case{}, ""},
		"the plan twice over":   {60, given.Case{Whole: 1.01 * chem.Millilitre}, ""},
		"and more than thrice":  {61, given.Case{Whole: 1.01 * chem.Millilitre}, "none of it is ordered, and the plan takes 21 drops in all; up to 60 drops is"},
		"a drop or two":         {20, given.Case{Whole: 0.05 * chem.Millilitre}, ""}, // 1 mL
		"that leads nowhere":    {61, given.Case{Whole: chem.Volume(math.NaN())}, ""},
		"of what was ordered":   {54, given.Case{Order: order, Whole: 0.5 * chem.Millilitre}, ""},
		"to the mark":           {810, given.Case{}, ""},
		"over it":               {811, given.Case{}, "there is room for 40.0 mL under the mark"},
		"a third of a drop":     {5.3, given.Case{Order: order, ByHand: true}, "drops are whole ones or halves"},
		"half a drop":           {5.5, given.Case{Order: order, ByHand: true}, ""},
		"a third, by the meter": {5.3, given.Case{Order: order}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			d := given.List{}.Doubt(s, journal.Addition{Titrant: "acid", Drops: tt.drops}, tt.c)
			if tt.why == "" {
				assert.Nil(t, d)
				return
			}
			require.NotNil(t, d)
			assert.Contains(t, d.Error(), tt.why)
		})
	}
}

// An order of 49 drops, 2.45 mL, that somebody answers with 2.45 means mL; 9 drops are drops.
func TestDoubtOfTheUnit(t *testing.T) {
	s := setup(t, runtest.Tris())
	order := &journal.Advice{Titrant: "acid", Drops: 49, ML: 2.45}
	for drops, asks := range map[float64]bool{2.5: true, 2: true, 3: true, 1.5: false, 3.5: false, 9: false, 49: false, 25: false} {
		d := given.List{}.Doubt(s, journal.Addition{Titrant: "acid", Drops: drops}, given.Case{Order: order})
		if !asks {
			assert.Nil(t, d, "%g", drops)
			continue
		}
		require.NotNil(t, d, "%g", drops)
		assert.Contains(t, d.Error(), "49 drops (2.45 mL) were ordered: a number in mL has an m behind it, such as 2.45m")
	}
	large := &journal.Advice{Titrant: "acid", Drops: 20, ML: 2.45} // of 122 µL: 3 of 20 may be mL
	assert.NotNil(t, given.List{}.Doubt(s, journal.Addition{Titrant: "acid", Drops: 3}, given.Case{Order: large}))
	few := &journal.Advice{Titrant: "acid", Drops: 9, ML: 2.45} // large ones: 2 of them are as likely
	assert.Nil(t, given.List{}.Doubt(s, journal.Addition{Titrant: "acid", Drops: 2}, given.Case{Order: few}))
}

// What is typed of a burette is what was added, not what its scale says of all of it.
func TestDoubtOfASum(t *testing.T) {
	s := setup(t, runtest.Tris())
	s.Stocks[0].ByML, s.Stocks[0].Drop = true, 0.05*ml
	given4, err := given.Entry(s, journal.Addition{Titrant: "acid", ML: 5.75})
	require.NoError(t, err)
	list := given.List{}.Add(given4)
	order := &journal.Advice{Titrant: "acid", ML: 1.7}
	for vol, asks := range map[float64]bool{7.45: true, 7.3: true, 7.2: false, 1.7: false, 1.6: false, 5.75: false} {
		d := list.Doubt(s, journal.Addition{Titrant: "acid", ML: vol}, given.Case{Order: order})
		if !asks {
			assert.Nil(t, d, "%g", vol)
			continue
		}
		require.NotNil(t, d, "%g", vol)
		assert.Contains(t, d.Error(), "it has given that in all, with the 1.70 mL ordered now")
	}
	much := list.Doubt(s, journal.Addition{Titrant: "acid", ML: 17.1}, given.Case{Order: order})
	require.NotNil(t, much)
	assert.Contains(t, much.Error(), "more than 9 times the 1.70 mL ordered")
}

// A bottle given in mL has steps: the coach counts them, people are told mL.
func TestUnits(t *testing.T) {
	s := setup(t, runtest.Tris())
	s.Stocks[0].ByML, s.Stocks[0].Drop = true, 0.1*ml
	assert.Equal(t, 3.0, given.Counted(s, journal.Advice{Titrant: "acid", ML: 0.3}).Drops)
	assert.Zero(t, given.InItsUnit(s, coach.Advice{Stock: 0, Drops: 3}).Drops)
	assert.Equal(t, 3.0, given.InItsUnit(s, coach.Advice{Stock: 1, Drops: 3}).Drops)
}

// An amount that no vessel holds is told as that, without the room of the program that
// refused it.
func TestTooMuchSaysSo(t *testing.T) {
	assert.Equal(t, "more than a hundred times what the vessel holds", phrase.Plain(fmt.Errorf("run: %w", given.ErrTooMuch)).Error())
}
