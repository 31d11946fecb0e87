package practice_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/class"
	"example.org/halfdrop/meter/practice/score"
)

// handedIn is a run with points for two items.
func handedIn(who, exercise string, attempt int, aim, waiting float64) class.Row {
	r := class.Row{File: who + exercise + ".jsonl", Attempt: attempt}
	r.Operator, r.Exercise, r.Title, r.Number = who, exercise, "The "+exercise, 8
	r.Begun = noon.Add(time.Duration(attempt) * time.Hour)
	r.Items = []score.Item{
		{Key: "aim", Name: "in tolerance", Skill: practice.Reading, Got: aim, Of: 60, Why: "so", Keep: "going on"},
		{Key: "waiting", Name: "waited for settling", Skill: practice.Waiting, Got: waiting, Of: 40, Why: "so", Keep: fmt.Sprintf("waiting, from %d:07 on: look", attempt)},
	}
	r.Points = aim + waiting
	r.Skills = map[practice.Skill]score.Share{practice.Reading: {Got: aim, Of: 60}, practice.Waiting: {Got: waiting, Of: 40}}
	return r
}

// classAt is of three pupils, one of whom tried twice; the best of an exercise first.
func classAt() class.Class {
	return class.Class{Rows: []class.Row{
		handedIn("ann", "slow-electrode", 2, 60, 40), handedIn("bea", "slow-electrode", 1, 60, 10),
		handedIn("cal", "slow-electrode", 1, 50, 0), handedIn("ann", "slow-electrode", 1, 20, 0),
	}}
}

func TestMediansTakeTheBestAttempt(t *testing.T) {
	m := classAt().Medians()
	require.Len(t, m, 1)
	assert.Equal(t, 3, m[0].Pupils)
	assert.Equal(t, 70.0, m[0].Points)
	assert.Equal(t, 1.0, m[0].Tries)
	assert.InDelta(t, 0.25, m[0].Skills[practice.Waiting], 1e-9)
	assert.InDelta(t, 1, m[0].Skills[practice.Reading], 1e-9)
}

func TestWhatHalfOfTheClassMissed(t *testing.T) {
	gaps := classAt().Missed()
	require.Len(t, gaps, 1)
	g := gaps[0]
	assert.Equal(t, []any{"slow-electrode", "The slow-electrode", 8, "waited for settling", 2, 3, "waiting: look"}, []any{g.Exercise, g.Title, g.Number, g.Item, g.Missed, g.Of, g.Keep})
}

func TestPageOfAPupil(t *testing.T) {
	p := classAt().Pupils()
	require.Len(t, p, 3)
	assert.Equal(t, "ann", p[0].Who)
	require.Len(t, p[0].Rows, 2)
	assert.Less(t, p[0].Rows[0].Points, p[0].Rows[1].Points, "by time")
	var text bytes.Buffer
	require.NoError(t, p[0].WriteText(&text))
	for _, want := range []string{"ann: 2 runs", "Next: ", "attempt 2: 100 points", "waited for settling: so", "  60 %  waiting"} {
		assert.Contains(t, text.String(), want)
	}
}

func TestTheTablesOfTheDesk(t *testing.T) {
	var text, table, page bytes.Buffer
	c := classAt()
	require.NoError(t, c.WriteText(&text))
	assert.Regexp(t, `(?m)^slow-electrode +try points curve waiting.*\n(  .*\n)+  median of 3 +1 +70 +100 +25$`, text.String())
	assert.Contains(t, text.String(), "2 of 3  slow-electrode, waited for settling: waiting")
	for line := range strings.Lines(text.String()) {
		assert.LessOrEqual(t, len([]rune(strings.TrimRight(line, "\n"))), 80, line)
	}
	require.NoError(t, c.WriteCSV(&table))
	rows, err := csv.NewReader(&table).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 5)
	at := map[string]string{}
	for i, name := range rows[0] {
		assert.NotContains(t, at, name, "each column once")
		at[name] = rows[1][i]
	}
	for name, want := range map[string]string{"operator": "ann", "attempt": "2", "points": "100", "skill_waiting_points": "40.0", "skill_waiting_of": "40.0",
		"aim_points": "60.0", "aim_of": "60.0", "aim_why": "so", "faults_points": "", "skill_faults_of": ""} {
		assert.Equal(t, want, at[name], name)
	}
	require.NoError(t, c.WriteHTML(&page))
	assert.Equal(t, 3, strings.Count(page.String(), `<section class="pupil"`))
	assert.Contains(t, page.String(), "What at least half of those who did it have missed")
}
