package score

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/replay"
)

// What is said of an answer: how far it is off, what of it is missing, and what would have
// been right.
func TestWordsOfAnAnswer(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		coach        practice.Coaching
		said         string
		err, pk      float64
		why, keep    string
		stops, asked int
	}{
		{practice.Off, "24.5 mL", 0.02, nan, "24.5 mL, in truth 2.5 mmol and 25.00 mL: 2 % off", keepAsking, 1, 0},
		{practice.Full, "2.45 mmol", 0.02, nan, "2.45 mmol, in truth 2.5 mmol: 2 % off", keepAsking, 1, 0},
		{practice.Ask, "24.5 mL", 0.02, nan, "24.5 mL, in truth 2.5 mmol and 25.00 mL: 2 % off; the coach was asked about 1 of 1 addition", keepAsking, 1, 1},
		{practice.Off, "pK 4.8", 1, 0.04, "pK 4.8, in truth 2.5 mmol and 25.00 mL: the amount is missing, the pK 0.04 off", keepAnswering, 1, 0},
		{practice.Off, "24.5 mL", 0.02, 1, "24.5 mL, in truth 2.5 mmol and 25.00 mL: 2 % off, the pK is missing", keepAnswering, 1, 0},
		{practice.Off, "", 1, nan, "no answer was entered", "entering the answer before the end, as a remark: r, then answer 24.85 mL", 1, 0},
		{practice.Full, "", 1, nan, "the readings allow no answer", keepAnswering, 1, 0},
		{practice.Full, "24.5 mL", 0, nan, nothing.why, nothing.keep, 0, 0},
	} {
		j := judging(t, repeated(told(base, 1), c.stops)...)
		j.slip.Coach, j.res.Asked = c.coach, c.asked
		m := j.answer(&Determination{Unit: "mmol", Value: 2.5, ML: 25, Said: c.said, Error: c.err, errPK: c.pk, Wanted: 0.01})
		assert.Equal(t, [2]string{c.why, c.keep}, [2]string{m.why, m.keep}, "%+v", c)
	}
	assert.Equal(t, "0.1043 mol/L, pK 4.76", (&Determination{Unit: "mol/L", Value: 0.1043, PK: 4.76}).Words())
}

// The story of a determination says whose answer it was.
func TestStoryOfADetermination(t *testing.T) {
	for _, c := range []struct {
		coach practice.Coaching
		said  string
		found float64
		want  string
	}{
		{practice.Off, "24.5 mL", 2.4, "You put down 24.5 mL. All readings together say 2.4 ± 0.1 mmol."}, {practice.Off, "24.5 mL", 0, "You put down 24.5 mL."},
		{practice.Full, "2.4 mmol", 2.4, "The answer of the run was 2.4 mmol."}, {practice.Off, "", 0, "No answer was given."},
	} {
		j := judging(t, told(base, 1))
		j.slip.Coach = c.coach
		j.res.Sought = &Determination{Unit: "mmol", Value: 2.5, ML: 25, Said: c.said, Found: c.found, SD: 0.1}
		j.res.Additions, j.res.Seconds = 1, 90
		var said []string
		j.determined(func(format string, a ...any) { said = append(said, fmt.Sprintf(format, a...)) })
		assert.Equal(t, "1 addition in 1:30; in truth it is 2.5 mmol, with an equivalence point at 25.00 mL. "+c.want, strings.Join(said, " "))
	}
}

// What would have kept the points: what was ordered on the screen, a small first step, else a
// smaller one; asking less, where that was all that cost.
func TestWhatWouldHaveKeptThePoints(t *testing.T) {
	second := practice.Passage{Past: 0.2}
	second.Seq, second.T = 2, 200
	first := practice.Passage{Past: 0.1}
	first.Seq, first.T = 1, 100
	steps := []replay.Step{own(base, 1), own(base, 1)}
	assert.Equal(t, keepFirst, judging(t, steps...).smaller(first))
	assert.Equal(t, keepSmaller, judging(t, steps...).smaller(second))
	ordered := told(base, 1)
	ordered.ML, ordered.Recorded = 3, true
	assert.Equal(t, "giving what was ordered: 1.00 mL of NaOH 1 M", judging(t, own(base, 1), ordered).smaller(second))
	ordered.Recorded = false
	assert.Equal(t, keepSmaller, judging(t, own(base, 1), ordered).smaller(second), "it was not on the screen")

	j := judging(t, told(base, 1), own(base, 1))
	j.res.passed = []practice.Passage{first, second}
	m := j.overshoot()
	assert.Equal(t, mark{0.5, "overshot twice, by 0.20 at most; 1 of them no larger than the coach would have given, which costs nothing", 200, keepSmaller}, m)
	j.res.passed, j.res.Asked, j.c.Asks = nil, 1, []float64{50}
	m = j.overshoot()
	assert.Equal(t, "the beaker never went past aim and tolerance; the coach was asked about 1 of 2 additions", m.why)
	assert.Equal(t, [2]any{50.0, keepAsking}, [2]any{m.t, m.keep})

	j = judging(t, told(base, 1), own(base, 1), own(base, 1))
	j.view.Steps[1].Before, j.view.Steps[2].Before = replay.Standing{Shown: math.NaN()}, replay.Standing{Shown: math.NaN()}
	m = j.waiting()
	assert.Equal(t, "2 of 3 additions fell on a reading that was still on its way", m.why)
	assert.InDelta(t, 200, m.t, 1e-9, "where it was so first")

	j = judging(t, told(base, 1), own(acid, 1), own(acid, 1))
	for i := range j.c.Stops {
		j.c.Stops[i].InUse = 6
	}
	m = j.bottle()
	assert.Equal(t, "right in 33 % of 3 additions; at 3:20: HCl 0.1 M led away from the aim", m.why)
	assert.Equal(t, "first working out which way the aim lies, and how far: HCl 0.1 M led away from the aim", m.keep)

	j = judging(t, repeated(own(base, 1), 9)...)
	j.res.Coached.Additions, j.res.Limit.Additions = 4, 2
	m = j.additions()
	assert.Equal(t, "9 additions; somebody who knew the bench would have needed 2, the coach 4", m.why)
	assert.Contains(t, m.keep, "larger steps")
	j.res.Sought = &Determination{}
	m = j.additions()
	assert.Equal(t, "9 additions; the coach needed 4", m.why)
	assert.Equal(t, keepFewer, m.keep)
	j.res.In = false
	assert.Equal(t, keepAnswering, j.additions().keep)
}

// An item with all of its points has nothing to keep; one without a weight is none.
func TestItems(t *testing.T) {
	j := judging(t)
	j.worth = map[string]float64{"aim": 25}
	j.add("aim", mark{1.4, "in", 5, "going on"})
	j.add("aim", mark{0.5, "near", 5, "going on"})
	j.add("aim", mark{-1, "far", 5, "going on"})
	j.add("salt", mark{share: 1})
	require.Len(t, j.res.Items, 3)
	assert.Equal(t, Item{Key: "aim", Name: "in tolerance", Skill: practice.Reading, Got: 25, Of: 25, Why: "in", T: 5}, j.res.Items[0])
	assert.Equal(t, [2]any{12.5, "going on"}, [2]any{j.res.Items[1].Got, j.res.Items[1].Keep})
	assert.Zero(t, j.res.Items[2].Got)
	j.total()
	assert.Equal(t, map[practice.Skill]Share{practice.Reading: {37.5, 75}}, j.res.Skills)
	assert.InDelta(t, 50, j.res.Points, 1e-9)
}
