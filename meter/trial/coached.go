package trial

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"time"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/run/view"
)

// Limits of the coach and what it is asked to live with.
var coachLimits = limits{additions: 60, seconds: 3600}

// patience is how long a check that has been confirmed may stand, s, before
// the person gives up.
const patience = 120.0

// coached plays the bench as the coach says. With wait above 0 the person
// looks at the advice only that many seconds after each addition.
func coached(wait float64) func(*Bench, io.Writer) (Outcome, error) {
	return func(b *Bench, story io.Writer) (Outcome, error) {
		k, err := keeper(b, nil)
		if err != nil {
			return Outcome{}, err
		}
		return playOn(b, k, wait, story)
	}
}

// playOn plays the bench to its end on a run that was opened.
func playOn(b *Bench, k *keep.Keeper, wait float64, story io.Writer) (Outcome, error) {
	g, err := newGame(b, k.State.Forecast().Aim, coachLimits, story)
	if err != nil {
		return Outcome{}, err
	}
	p := pupil{game: g, keeper: k}
	return p.play(func() error { return p.second(wait) })
}

// play lets seconds pass until the coach says that it is done, or no more can come of it.
func (p *pupil) play(second func() error) (Outcome, error) {
	for !p.over() && !p.out.Stopped {
		if err := second(); err != nil {
			return Outcome{}, err
		}
	}
	return p.end(), nil
}

// keeper opens a run on the plan of the bench that nobody records; known is what
// it takes over from earlier ones.
func keeper(b *Bench, known json.RawMessage) (*keep.Keeper, error) { return keeperOf(b, known, "") }

// keeperOf is the same with the source of the readings.
func keeperOf(b *Bench, known json.RawMessage, source string) (*keep.Keeper, error) {
	plan, err := json.Marshal(b.Plan)
	if err != nil {
		return nil, fmt.Errorf("trial: %w", err)
	}
	first := journal.Event{Seq: 1, Kind: journal.Started, Start: &journal.Start{Format: journal.Format, Program: "trial", Plan: plan, Known: known, Source: source}}
	at := func(t float64) time.Time { return time.Unix(0, 0).Add(time.Duration(t * float64(time.Second))) }
	k, err := keep.NewKeeper(first, &keep.Discard{}, at)
	if err != nil {
		return nil, fmt.Errorf("trial: seed %d: %w", b.Seed, err)
	}
	return k, nil
}

// pupil is a person who does what the coach says.
type pupil struct {
	*game
	keeper    *keep.Keeper
	touched   float64 // when something was last added
	order     view.View
	confirmed []string
	checking  float64 // since when a confirmed check has stood; 0 when none does
	asked     bool    // the check in sight is being looked at
	looksAt   float64 // s, when the person has looked
}

// looks is how long a person looks at what a CHECK complains about, s.
const looks = 6.0

func (p *pupil) second(wait float64) error {
	p.game.second()
	if p.sends() {
		if err := p.keeper.Take(journal.Event{T: p.t, Kind: journal.Read, Reading: recorded.Reading(p.sim.Sample())}); err != nil {
			return fmt.Errorf("trial: seed %d: %w", p.bench.Seed, err)
		}
	}
	return p.act(wait)
}

// act does what the coach says.
func (p *pupil) act(wait float64) error {
	if p.giving != nil && p.giving.Over(p.t) {
		if err := p.record(); err != nil {
			return err
		}
	}
	if p.t-p.touched < wait {
		return nil
	}
	v := p.keeper.Look(p.t)
	p.aim = v.Advice.Aim
	if p.story != nil {
		p.tell(v)
	}
	for _, f := range v.Spotted {
		if !slices.Contains(p.out.Noted, string(f.Fault)) {
			p.out.Noted = append(p.out.Noted, string(f.Fault))
		}
	}
	if v.Advice.Do != coach.Check {
		p.checking, p.asked = 0, false
	}
	switch {
	case v.Advice.Reason == coach.Unsaid && p.giving != nil && len(p.giving.Falls) == 0:
		return p.record() // it is asked about: yes
	case p.giving != nil: // the hands are full
		return nil
	case v.Advice.Do == coach.Stop:
		p.out.Stopped = true
		p.out.Brought = p.keeper.Look(p.t).Brought // what is said beside it rests on its being said
	case v.Advice.Do == coach.Check:
		return p.check(v)
	case v.Advice.Do == coach.Add:
		return p.give(v)
	}
	return nil
}

// give begins to give what is ordered.
func (p *pupil) give(v view.View) error {
	p.order = v
	if err := p.add(v.Advice.Stock, v.Advice.Drops); err != nil {
		return err
	}
	if p.giving.Over(p.t) {
		return p.record()
	}
	return nil
}

// record puts what was given on record.
func (p *pupil) record() error {
	a, err := p.keeper.State.Addition(p.order.Titrant, p.order.Advice.Drops, 0)
	if err != nil {
		return fmt.Errorf("trial: seed %d: %w", p.bench.Seed, err)
	}
	p.giving, p.touched = nil, p.t
	if err := p.keeper.Take(journal.Event{T: p.t, Kind: journal.Added, Added: &a}); err != nil {
		return err
	}
	if e, ok := p.keeper.State.Latest(); ok && p.story != nil {
		fmt.Fprintf(p.story, "%5.0f s  recorded, from %.0f s on, before it %.3f ± %.3f; truly %.3f, made up %.3f, aim %.3f\n",
			p.t, e.From, e.Before.End, e.Before.SD, p.sim.True(), p.sim.MadeUp(), p.aim)
	}
	return nil
}

// check looks at what the coach complains about, says whether it is so, and goes on;
// the same complaint again for long means that the run is stuck.
func (p *pupil) check(v view.View) error {
	a := v.Advice
	codes := a.Codes()
	if !p.asked {
		p.asked, p.looksAt = true, p.t+looks
		p.out.Checks = append(p.out.Checks, codes[0])
		if a.Reason == coach.Mistaken {
			p.name(codes)
		}
	}
	if p.t < p.looksAt {
		return nil
	}
	if slices.Contains(p.confirmed, codes[0]) {
		if p.checking == 0 {
			p.checking = p.t
		}
		if p.t-p.checking >= patience {
			p.out.Stuck = codes[0]
		}
	}
	p.confirmed = append(p.confirmed, codes...)
	p.asked = false
	e, _, err := propose.Passing(p.keeper.State, p.t, 0)
	if i := slices.IndexFunc(codes, p.bench.rightly); i >= 0 && a.Reason == coach.Mistaken {
		e, _, err = propose.Confirming(p.keeper.State, p.t, codes[i]) // it is what is found
	}
	if f, bad := view.Unsound(v.Spotted); bad && f.Outside {
		e = journal.Event{T: p.t, Kind: journal.Immersed} // nothing was given before
	}
	if err != nil {
		return fmt.Errorf("trial: seed %d: %w", p.bench.Seed, err)
	}
	return p.keeper.Take(e)
}

// name notes what a check names, the likeliest first.
func (p *pupil) name(codes []string) {
	first := p.bench.rightly(codes[0])
	p.out.Right = first && (len(p.out.Named) == 0 || p.out.Right)
	p.out.Among = p.out.Among || slices.ContainsFunc(codes, p.bench.rightly)
	p.out.Named = append(p.out.Named, codes)
}

// tell writes one line of the story.
func (p *pupil) tell(v view.View) {
	s, a := v.Settling, v.Advice
	fmt.Fprintf(p.story, "%5.0f s  reads %.*f  electrode %.3f of %.3f  end %.3f ± %.3f (can be %.3f) %s, tau %.1f of %.1f  aim %.3f  %s %s",
		p.t, v.Decimals, v.PH, p.sim.Shown(), p.sim.True(), s.End, s.SD, s.FinalSD, s.State, s.Tau, p.bench.Truth.Tau, a.Aim, a.Do, a.Reason)
	if a.Do == coach.Add {
		fmt.Fprintf(p.story, ": %g drops of %s, to %.3f (%.3f to %.3f), chance %.4f", a.Drops, v.Titrant, a.After, a.Low, a.High, a.Chance)
	}
	for i, m := range a.Mistakes {
		fmt.Fprintf(p.story, "%s %s", []string{":", ","}[min(i, 1)], m.Name)
	}
	if len(a.Mistakes) > 0 {
		fmt.Fprintf(p.story, " (%.3f)", a.Weight)
	}
	for _, f := range v.Spotted {
		fmt.Fprintf(p.story, "; %s: %s", f.Fault, f.Evidence)
	}
	fmt.Fprintln(p.story)
}
