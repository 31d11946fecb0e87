package answers_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/answers"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/runtest"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/spot"
)

var three = given.List{{Seq: 10}, {Seq: 20}, {Seq: 30}}

// What was looked for is not asked about again before another addition, and stays in the
// belief after it; its number follows the addition when an earlier one is withdrawn.
func TestALookIsAboutAnAddition(t *testing.T) {
	other := answers.Book{}.LookedFor([]string{"bottle:2:weak acid"}, three)
	assert.Equal(t, []string{"bottle:2:weak acid"}, other.PassedOver(three))
	assert.Equal(t, []string{"bottle:1:weak acid"}, other.LookedAt(three.Withdrawn(0)), "the bottle stays")
	assert.Equal(t, "weak acid", answers.Exchanged("bottle:2:weak acid"))
	assert.Empty(t, answers.Exchanged("stock:acid:0.1"))

	b := answers.Book{}.LookedFor([]string{"missed:2", "stock:acid", "unlogged:7"}, three)
	assert.Equal(t, []string{"missed:2", "stock:acid"}, b.PassedOver(three), "there is no seventh")
	later := three.Add(view.Entry{Seq: 40})
	assert.Empty(t, b.PassedOver(later))
	assert.Equal(t, []string{"missed:2", "stock:acid"}, b.LookedAt(later))
	assert.Equal(t, []string{"missed:1", "stock:acid"}, b.LookedAt(later.Withdrawn(0)))
	assert.Equal(t, []string{"stock:acid"}, b.LookedAt(later.Withdrawn(1)), "it is withdrawn")

	open := answers.Book{}.LeftAlone([]string{"stock:acid"}, three, true)
	assert.Equal(t, []string{"stock:acid"}, open.PassedOver(three))
	assert.Empty(t, open.LookedAt(three), "nobody has looked")
}

// An agreement holds for good, and is no look.
func TestAgreed(t *testing.T) {
	b := answers.Book{}.Agree("misfit").Known("kind:acid")
	assert.Equal(t, []string{"misfit", "spot:" + string(spot.WrongTitrant)}, b.PassedOver(three.Add(view.Entry{Seq: 40})))
	assert.Empty(t, b.LookedAt(three))
}

// The latest addition around which something happened off the record, and the one before.
func TestJump(t *testing.T) {
	b := answers.Book{}.WentBy(10)
	latest, before := b.Jump(three)
	assert.Equal(t, [2]int{1, 0}, [2]int{latest, before})
	b, err := b.Amend(journal.Amendment{Code: "unlogged:3", Seq: 30})
	require.NoError(t, err)
	latest, before = b.Jump(three.Withdrawn(1))
	assert.Equal(t, [2]int{2, 1}, [2]int{latest, before})
}

func TestUnwilling(t *testing.T) {
	check := func(r coach.Reason) coach.Advice { return coach.Advice{Do: coach.Check, Reason: r} }
	b := answers.Book{}.Agree(coach.NoRoom.String(), coach.DropTooBig.String(), coach.Moved.String())
	assert.Equal(t, coach.Wait, b.Unwilling(check(coach.NoRoom)).Do)
	assert.Equal(t, coach.Check, b.Unwilling(check(coach.DropTooBig)).Do, "there is more to agree to")
	assert.Equal(t, coach.Wait, b.Agree(coach.DropTooBig.String()).Unwilling(check(coach.DropTooBig)).Do)
	assert.Equal(t, coach.Check, b.Unwilling(check(coach.Moved)).Do)
	assert.Equal(t, coach.Check, b.Unwilling(check(coach.NoWayBack)).Do, "nobody has said anything of it")
}

// Of several mistakes the ones that were looked for are left out; a single one stays.
func TestUnasked(t *testing.T) {
	b := answers.Book{}.LookedFor([]string{"electrode"}, three)
	two := coach.Advice{Mistakes: []coach.Mistake{{Code: "electrode"}, {Code: "stock:acid"}}}
	assert.Equal(t, []coach.Mistake{{Code: "stock:acid"}}, b.Unasked(two, three).Mistakes)
	one := coach.Advice{Mistakes: two.Mistakes[:1]}
	assert.Equal(t, one, b.Unasked(one, three))
}

// A plan as amended is compiled; what names another bottle is refused, what is withdrawn is
// gone, and what an electrode was said to have shown cannot be brought back.
func TestAmendments(t *testing.T) {
	p := runtest.Tris()
	setup, err := recipe.Compile(p)
	require.NoError(t, err)
	strong := p.Titrants[0]
	strong.Molar = runtest.Num(6)
	payload, err := json.Marshal(strong)
	require.NoError(t, err)
	b, err := answers.Book{}.Amend(journal.Amendment{Code: "stock:acid", Name: "acid is 6 M", Titrant: payload})
	require.NoError(t, err)
	next, err := b.Plan(p, setup)
	require.NoError(t, err)
	assert.Equal(t, 6.0, *next.Plan.Titrants[0].Molar)
	assert.True(t, b.AmendsStock("acid"))
	assert.False(t, b.AmendsStock("base"))

	e, says, err := b.Unamending(5, "")
	require.NoError(t, err)
	assert.Contains(t, says, "withdrawn: acid is 6 M")
	back, err := b.Amend(*e.Amend)
	require.NoError(t, err)
	assert.Empty(t, back.Amended())
	_, _, err = back.Unamending(5, "stock:acid")
	assert.ErrorIs(t, err, answers.ErrNotAmended)

	b, err = b.Amend(journal.Amendment{Code: "electrode"})
	require.NoError(t, err)
	_, err = b.Amend(journal.Amendment{Code: "electrode", Back: true})
	assert.ErrorIs(t, err, answers.ErrForgotten)
	assert.True(t, answers.Misread("spot:"+string(spot.Cap)))
	assert.False(t, answers.Misread(answers.WrongTitrant), "that is the plan's")
}

// An amendment makes the looks for what it amends another question, and no others.
func TestLooksAfterAnAmendment(t *testing.T) {
	b := answers.Book{}.LookedFor([]string{"missed:2", "stock:acid", "weighed:Tris"}, three)
	assert.Equal(t, []string{"missed:2", "weighed:Tris"}, b.Asked(journal.Amendment{Titrant: json.RawMessage("{}")}).LookedAt(three))
	assert.Equal(t, []string{"missed:2", "stock:acid"}, b.Asked(journal.Amendment{Weighed: json.RawMessage("{}")}).LookedAt(three))
}
