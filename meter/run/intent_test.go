package run_test

import (
	"context"
	"encoding/json"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/session"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/sim"
)

// live is a session on the simulated bench with its own time.
type live struct {
	*session.Session
	bench *sim.Bench
	log   *kept
	stop  func()
}

// going opens a session; to be called within a bubble of synctest.
func going(t *testing.T, bench func(*sim.Bench) session.Dispenser) *live {
	t.Helper()
	p := tris()
	setup, err := recipe.Compile(p)
	require.NoError(t, err)
	b, err := sim.New(setup, sim.DefaultTruth(setup, 8))
	require.NoError(t, err)
	l := &live{bench: b, log: &kept{}}
	l.log.Append(&journal.Event{})
	k, err := run.NewKeeper(first(t, p), l.log, wall)
	require.NoError(t, err)
	clock := sim.NewClock(1)
	l.Session = session.NewSession(k, b.Source(clock, time.Second), clock.Seconds, bench(b))
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- l.Run(ctx) }()
	l.stop = func() { cancel(); <-ended }
	return l
}

func at(b *sim.Bench) session.Dispenser { return b }

// after is the view when some time has passed, with all answers until then.
func (l *live) after(d time.Duration) view.View {
	time.Sleep(d)
	synctest.Wait()
	return <-l.Views()
}

func (l *live) kinds(kind journal.Kind) (out []journal.Event) {
	for _, e := range l.log.events {
		if e.Kind == kind {
			out = append(out, e)
		}
	}
	return out
}

// Each answer comes back with what was asked, in order, though nobody looked
// meanwhile, and the refused one does not hide behind the remark after it.
func TestAnswersAreAQueue(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := going(t, at)
		defer l.stop()
		l.Post(intent.Intent{ID: 1, Kind: intent.Add, Titrant: "no such bottle", Drops: 3})
		l.Post(intent.Intent{ID: 2, Kind: intent.Remark, Text: "stirred harder"})
		v := l.after(20 * time.Second)
		require.Len(t, v.Answers, 2)
		assert.Equal(t, int64(1), v.Answers[0].To.ID)
		assert.True(t, v.Answers[0].Failed)
		assert.Contains(t, v.Answers[0].Text, "no such titrant")
		assert.Equal(t, int64(2), v.Answers[1].To.ID)
		assert.False(t, v.Answers[1].Failed)
		assert.Equal(t, int64(2), v.Heard)
		v = l.after(time.Second)
		assert.Empty(t, v.Answers, "said once")
		assert.Equal(t, int64(2), v.Heard, "but what was heard stands in every view")
	})
}

// An amount that makes no sense is asked about, and recorded when it is meant.
func TestAmountsWithoutSense(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := going(t, at)
		defer l.stop()
		v := l.after(60 * time.Second)
		require.Equal(t, coach.Add, v.Advice.Do)
		ordered := v.Advice.Drops
		for i, in := range []intent.Intent{
			{Titrant: "acid", Drops: 99999},
			{Titrant: "acid", ML: 100},
			{Titrant: v.Titrant, Drops: ordered*10 + 1},
		} {
			in.ID = int64(i + 1)
			l.Post(in)
			v = l.after(time.Second)
			require.Len(t, v.Answers, 1)
			assert.True(t, v.Answers[0].Asks, v.Answers[0].Text)
			assert.Contains(t, v.Answers[0].Text, "is accepted without a question")
			assert.Equal(t, in, v.Answers[0].To)
			assert.Empty(t, v.Entries)
		}
		in := v.Answers[0].To
		in.Sure = true
		l.Post(in)
		v = l.after(time.Second)
		require.Len(t, v.Entries, 1)
		assert.Equal(t, in.Drops, v.Entries[0].Drops)
		l.Post(intent.Intent{Kind: intent.Correct, Drops: 99999})
		v = l.after(time.Second)
		require.Len(t, v.Answers, 1)
		assert.True(t, v.Answers[0].Asks, "a correction is asked about as well")
		assert.Equal(t, in.Drops, v.Entries[0].Drops)
	})
}

// From the first drop that is told to the confirmation the order is frozen; the
// record has the times of both.
func TestDosingAndConfirmed(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := going(t, at)
		defer l.stop()
		v := l.after(60 * time.Second)
		require.True(t, v.Ordered)
		order := v.Advice.Drops
		l.Post(intent.Intent{Kind: intent.Dose, Titrant: v.Titrant, Drops: 1})
		l.Post(intent.Intent{Kind: intent.Dose, Titrant: v.Titrant, Drops: 2})
		v = l.after(5 * time.Second)
		require.NotNil(t, v.Falling)
		assert.Equal(t, coach.Dosing, v.Advice.Reason)
		assert.Equal(t, order, v.Advice.Drops)
		assert.Len(t, l.kinds(journal.Dosing), 1, "the second drop says nothing new")
		l.Post(intent.Intent{Kind: intent.Add, Titrant: v.Titrant, Drops: order})
		v = l.after(time.Second)
		assert.Nil(t, v.Falling)
		added := l.kinds(journal.Added)
		require.Len(t, added, 1)
		require.NotNil(t, added[0].Added.From)
		assert.InDelta(t, 60, *added[0].Added.From, 1.5)
		assert.InDelta(t, 65, added[0].T, 1.5)
	})
}

func TestDeclinedAndImmersed(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := going(t, at)
		defer l.stop()
		l.Post(intent.Intent{Kind: intent.Decline})
		l.Post(intent.Intent{Kind: intent.Dose})
		v := l.after(500 * time.Millisecond)
		require.Len(t, v.Answers, 2)
		assert.Contains(t, v.Answers[0].Text, "nothing is ordered now")
		v = l.after(60 * time.Second)
		require.True(t, v.Ordered)
		l.Post(intent.Intent{Kind: intent.Dose})
		v = l.after(2 * time.Second)
		require.NotNil(t, v.Falling)
		l.Post(intent.Intent{Kind: intent.Decline})
		v = l.after(20 * time.Second)
		assert.Nil(t, v.Falling)
		assert.Len(t, l.kinds(journal.Declined), 1)
		assert.True(t, v.Ordered, "the advice is back")
		l.Post(intent.Intent{Kind: intent.Immersed})
		l.after(time.Second)
		assert.Len(t, l.kinds(journal.Immersed), 1)
	})
}

// Another bottle at the plate is checked as in a plan, used at once, and still
// there when the run is taken up again.
func TestBottleAtThePlate(t *testing.T) {
	path := filepath.Join(t.TempDir(), "run.jsonl")
	b, w := record(t, path, 3)
	b.seconds(40)
	for text, says := range map[string]string{
		`{"name":"acid","reagent":"HCl","molar":0.5}`:      "used twice",
		`{"name":"x","reagent":"unobtainium","molar":0.5}`: "unobtainium",
		`{"name":"x","reagent":"HCl","molar":99}`:          "outside",
		`{"name":"x\u001b[2J","reagent":"HCl","molar":1}`:  "character",
		`{"name":"x","reagent":"HCl"}`:                     "missing",
	} {
		assert.ErrorContains(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Bottled, Bottle: json.RawMessage(text)}), says, text)
	}
	assert.Len(t, b.keep.Look(b.sec).Titrants, 3)
	bottle, err := run.ParseBottle("HCl 0.02 M, 40 µL")
	require.NoError(t, err)
	e, err := run.BottleEvent(b.sec, bottle)
	require.NoError(t, err)
	require.NoError(t, b.keep.Take(e))
	v := b.second()
	require.Len(t, v.Titrants, 4)
	assert.Equal(t, "HCl 0.02 M", v.Titrants[3])
	a, err := b.keep.State.Addition("HCl 0.02 M", 10, 0)
	require.NoError(t, err)
	assert.InDelta(t, 0.4, a.ML, 1e-9, "its drops are 40 µL")
	require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Added, Added: &a}))
	require.NoError(t, w.Close())
	r, err := run.Resume(path, dawn.Add(time.Hour))
	require.NoError(t, err)
	defer r.Writer.Close()
	assert.Equal(t, v.Titrants, r.Keeper.Look(r.Keeper.State.T).Titrants)
}

// The coach uses the bottle that was brought at once: past the aim with acid
// alone nothing leads back, and with a base at hand it does.
func TestCoachUsesTheBottleBrought(t *testing.T) {
	p := tris()
	p.Titrants = p.Titrants[:1]
	setup, err := recipe.Compile(p)
	require.NoError(t, err)
	s, err := sim.New(setup, sim.DefaultTruth(setup, 5))
	require.NoError(t, err)
	k, err := run.NewKeeper(first(t, p), &run.Discard{}, wall)
	require.NoError(t, err)
	b := &bench{t: t, sim: s, keep: k}
	b.seconds(40)
	b.add("acid", 105)
	v := b.seconds(200) // a way back is not gone before it is sure that it has to be
	require.Equal(t, coach.Check, v.Advice.Do)
	require.Equal(t, coach.NoWayBack, v.Advice.Reason)
	e, err := run.BottleEvent(b.sec, recipe.Titrant{Name: "base", Reagent: "NaOH", Molar: num(2)})
	require.NoError(t, err)
	require.NoError(t, k.Take(e))
	v = b.order()
	assert.LessOrEqual(t, b.sec, 40+200+2.0, "at once")
	assert.Equal(t, coach.Past, v.Advice.Reason)
	assert.Equal(t, "base", v.Titrant)
}

func TestParseBottle(t *testing.T) {
	for text, want := range map[string]string{
		"NaOH 0.1 M": "NaOH 0.1 M", "NaOH 0.1": "NaOH 0.1 M", "acetic acid 0,5 M": "acetic acid 0.5 M", "KOH 0.5M, 40 uL": "KOH 0.5 M",
	} {
		b, err := run.ParseBottle(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, b.Name)
	}
	b, _ := run.ParseBottle("KOH 0.5 M, 40 µL")
	assert.Equal(t, 40.0, *b.DropUL)
	b, err := run.ParseBottle("KOH 0,5 M, 40 µL, bottle B 7, opened 2026-11-20, dropper blue")
	require.NoError(t, err)
	assert.Equal(t, recipe.Titrant{Name: "KOH 0.5 M", Reagent: "KOH", Molar: num(0.5), DropUL: num(40), Bottle: "B 7", Opened: "2026-11-20", Dropper: "blue"}, b)
	for _, bad := range []string{"", "NaOH", "NaOH 1 M, bottle", "NaOH 1 M, blue", "NaOH 1 M, 40 µL, opened", "0.1", "NaOH strong", "NaOH M", "NaOH 1 M, big"} {
		_, err := run.ParseBottle(bad)
		assert.Error(t, err, bad)
	}
}
