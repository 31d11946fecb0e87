package trial

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/hands"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/answers"
	"example.org/halfdrop/meter/run/brought"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/run/view"
)

// The person of TestNeverStuck, who looks at each CHECK and answers it.

// acts does what the person does.
func (w *world) acts(v view.View) {
	if w.giving != nil {
		w.records(v)
		return
	}
	if v.Advice.Do != coach.Check {
		w.asked = ""
	}
	switch {
	case v.Advice.Do == coach.Stop:
		w.end = "done"
	case v.Advice.Do == coach.Check:
		w.looks(v)
	case v.Offer != nil && w.hurries && w.sec-w.steady > soon:
		e, err := propose.Urging(w.k.State, w.sec)
		require.NoError(w.t, err)
		w.take(e)
		w.goesOn++
		w.tell("goes on with %s", view.Amount(v.Offer.Drops, v.Offer.Volume))
		if next := w.k.Look(w.sec); v.Offer.Asks && next.Advice.Do != coach.Check || !v.Offer.Asks && (next.Advice.Do != coach.Add || next.Advice.Volume != v.Offer.Volume) {
			w.fail("offered: %+v, and then %s (%s) at %.0f s", *v.Offer, next.Sentence(), next.Advice.Reason, w.sec)
		}
	case v.Advice.Do == coach.Add && v.Falling == nil:
		w.gives = v.Advice.Drops
		w.begins(v)
	case v.Advice.Do == coach.Wait && slices.Contains([]coach.Reason{coach.NoTitrant, coach.NoWayBack, coach.DropTooBig, coach.NoRoom, coach.Misfit}, v.Advice.Reason):
		if w.bottles >= 2 || v.Advice.Reason == coach.NoRoom {
			w.end = "ends as it stands: " + v.Advice.Reason.String()
			return
		}
		w.brings(v)
	}
	if len(v.Entries) > worldAdds {
		w.end = "additions"
	}
}

// begins begins to give what is ordered, or something else.
func (w *world) begins(v view.View) {
	stock := v.Advice.Stock
	if w.sec >= w.at {
		switch w.mishap {
		case "missed":
			w.mishap = ""
			a, _ := w.k.State.Addition(v.Titrant, v.Advice.Drops, 0)
			w.take(journal.Event{Kind: journal.Added, Added: &a})
			en, _ := w.k.State.Latest()
			w.lost = en.Seq
			clear(w.answered)
			w.tell("missed")
			return
		case "wrong amount":
			w.gives = math.Max(1, math.Round(w.gives*(0.5+w.r.Float64())))
			w.strayed = true
			w.mishap = ""
		case "other bottle":
			stock = (stock + 1) % len(w.k.State.Setup.Stocks)
			w.strayed, w.took = true, w.k.State.Setup.Stocks[stock].Name
			w.mishap = ""
		}
	}
	p, err := w.sim.Begin(w.k.State.Setup.Stocks[stock].Name, w.gives, 0)
	if err != nil {
		w.fail("sim: %v", err)
		return
	}
	w.order = v
	w.giving = &giving{w.h.Give(w.sec, hands.Drops(w.gives)), p}
}

// records puts on record what was given once it is in and there is a hand free, or
// once it is asked about.
func (w *world) records(v view.View) {
	if len(w.giving.Falls) > 0 || w.sec < w.giving.Said && v.Advice.Reason != coach.Unsaid {
		return
	}
	a, err := w.k.State.Addition(w.order.Titrant, w.order.Advice.Drops, w.order.Advice.Volume.Millilitres())
	if err != nil {
		w.fail("addition: %v", err)
		return
	}
	w.giving = nil
	clear(w.answered)
	w.take(propose.Dated(w.k.State, journal.Event{T: w.sec, Kind: journal.Added, Added: &a}))
	w.tell("recorded %g of %s", a.Drops, a.Titrant)
}

// looks looks at a CHECK for a while, and answers it.
func (w *world) looks(v view.View) {
	about := strings.Join(v.Codes(), ",")
	if about != w.asked {
		w.asked, w.looksAt = about, w.sec+w.slow+3+10*w.r.Float64()
		if t, ok := w.answered[about]; ok && w.sec-t < again && w.sends() && !w.ails() {
			w.fail("twice: %s, answered %.0f s before, at %.0f s", v.Sentence(), w.sec-t, w.sec)
		}
	}
	if w.sec < w.looksAt {
		return
	}
	w.answers(v)
	w.answered[about], w.answered[""] = w.sec, w.sec
	w.asked = ""
}

// right is the code of a CHECK that says what is true; empty when none does.
func (w *world) right(v view.View) string {
	for _, c := range v.Codes() {
		fault, named := strings.CutPrefix(c, "spot:")
		switch {
		case named && (w.sim.Mend(fault) || w.sim.Ails(fault)), w.b.rightly(c):
			return c
		case c == "electrode" && w.ails():
			for _, f := range w.b.Truth.Faults {
				w.sim.Mend(f.Name)
			}
			return c
		case strings.HasPrefix(c, "kind:") && w.sim.Ails("wrong_titrant"), strings.HasPrefix(c, "unlogged") && w.strayed && w.took == "",
			w.took != "" && answers.Exchanged(c) == w.took:
			return c
		case strings.HasPrefix(c, "missed") && w.lost != 0:
			if en, ok := w.k.State.Latest(); ok && en.Seq == w.lost {
				return c
			}
		}
	}
	return ""
}

func (w *world) answers(v view.View) {
	code := w.right(v)
	pass := func() {
		e, says, err := propose.Passing(w.k.State, w.sec, 0)
		if err != nil {
			w.fail("refused: as planned at %.0f s: %v", w.sec, err)
			return
		}
		w.tell("answered c: %s", says)
		w.take(e)
	}
	switch v.Advice.Reason {
	case coach.Unsaid: // nothing of it was given
		w.take(journal.Event{Kind: journal.Declined})
		w.tell("declined")
	case coach.Mistaken, coach.Faulty:
		if code == "" || w.r.Float64() < 0.3 {
			pass()
			return
		}
		e, says, err := propose.Confirming(w.k.State, w.sec, code)
		if err != nil {
			w.fail("refused: %s at %.0f s: %v", code, w.sec, err)
			return
		}
		w.tell("answered y: %s", says)
		w.take(e)
	case coach.NoTitrant, coach.NoWayBack, coach.DropTooBig:
		if w.bottles < 2 && w.r.IntN(2) == 0 {
			w.brings(v)
			return
		}
		pass()
	case coach.Moved:
		if w.r.IntN(3) == 0 {
			w.take(journal.Event{Kind: journal.Immersed})
			w.tell("answered i")
			return
		}
		pass()
	default:
		pass()
	}
}

// brings brings another bottle, of what leads to the aim.
func (w *world) brings(v view.View) {
	w.bottles++
	t := recipe.Titrant{Name: fmt.Sprintf("brought %d", w.bottles), Reagent: "HCl", Molar: ptr(math.Max(0.02, *w.b.Plan.Titrants[0].Molar/20)), DropUL: ptr(50)}
	if v.Settling.End < v.Advice.Aim {
		t.Reagent = "NaOH"
	}
	e, err := brought.Event(w.sec, t)
	require.NoError(w.t, err)
	w.take(e)
	st := w.k.State.Setup.Stocks
	if err := w.sim.Bring(st[len(st)-1]); err != nil {
		w.fail("sim: %v", err)
	}
	w.tell("brought %s", t.Reagent)
}

// TestAQuestionStaysUntilItIsAnswered: at the edge of asking, a CHECK does not come and
// go before a person who takes long over it has answered.
func TestAQuestionStaysUntilItIsAnswered(t *testing.T) {
	w := newWorld(t, 30285)
	w.slow = 38
	w.play()
	assert.Empty(t, w.wrong)
	assert.Equal(t, "done", w.end)
}
