package replay

import (
	"math"
	"slices"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/spot"
)

// builder folds events and keeps what a Run needs of them.
type builder struct {
	run  *Run
	fold run.Fold
	seg  segment

	looked float64  // s, when the readings were last looked at for faults
	held   []glance // not looked at yet: drops may have fallen then that are recorded later
	named  map[spot.Fault]bool
	recent []run.State // of the last minutes, recentEvery apart: a ring
	next   int         // place of the next in it
	kept   int         // how many are in it
	said   float64     // s, when the last addition was put on record
	lifted *lifted     // the electrode was put back since then
}

// lifted is what was read before an electrode was put back into the beaker, for an addition
// that had begun to fall by then: it left what was read before, and not what came after.
type lifted struct {
	at         float64 // s, when it was back
	seg        segment
	recent     []run.State
	next, kept int
}

func newBuilder() *builder { return &builder{run: &Run{}, named: map[spot.Fault]bool{}} }

// glance is a state whose readings are to be looked at.
type glance struct {
	state run.State
	t     float64
}

// How far back and how closely states are kept until an addition is put on record:
// drops fall before it is, and what was known when the first fell counts.
const (
	recentStates = 480
	recentEvery  = 1.0 // s
)

// remember keeps the state, for an addition that is put on record later.
func (b *builder) remember() {
	s := b.fold.State
	if b.kept > 0 && s.T-b.state(b.kept-1).T < recentEvery {
		return
	}
	if b.recent == nil {
		b.recent = make([]run.State, recentStates)
	}
	b.recent[b.next] = s
	b.next = (b.next + 1) % recentStates
	b.kept = min(b.kept+1, recentStates)
}

// state is the i-th of the states kept, the oldest first.
func (b *builder) state(i int) *run.State {
	return &b.recent[(b.next-b.kept+i+recentStates)%recentStates]
}

// began is the state just before a time, as far back as they are kept, and not
// before the composition was entered.
func (b *builder) began(from float64, late run.State) (run.State, float64) {
	if !(from < late.T) || math.IsNaN(from) {
		return late, late.T
	}
	for i := b.kept - 1; i >= 0; i-- {
		if s := b.state(i); s.T < b.seg.from {
			break
		} else if s.T < from {
			return *s, math.Max(from, b.seg.from)
		}
	}
	return late, late.T
}

// lookEvery is how often the readings are looked at for faults, s: what can be
// seen at all can be seen for longer.
const lookEvery = 30.0

// longestDose is for how long drops may fall before they are put on record, s.
const longestDose = recentStates * recentEvery

// look has the readings looked at; what they say while drops fall
// that are put on record later speaks of nothing else.
func (b *builder) look(e journal.Event) {
	t := b.fold.State.T
	b.looked = t
	b.held = append(b.held, glance{b.fold.State, t})
	fell := math.Inf(1)
	if e.Added != nil && e.Added.From != nil {
		fell = *e.Added.From
	}
	b.held = slices.DeleteFunc(b.held, func(g glance) bool { return g.t > fell })
	if changes(e.Kind) {
		b.release(t)
	}
	b.release(t - longestDose)
}

// release looks at what was held until a time, s, and notes what the readings say is wrong,
// each fault when it is first seen.
func (b *builder) release(until float64) {
	for len(b.held) > 0 && b.held[0].t <= until {
		g := b.held[0]
		b.held = b.held[1:]
		for _, f := range g.state.Spotted(g.t) {
			if !b.named[f.Fault] {
				b.named[f.Fault] = true
				b.run.spotted = append(b.run.spotted, Mark{g.t, f.Words()})
			}
		}
	}
}

func (b *builder) take(e journal.Event) error {
	r := b.run
	if r.First.Kind == "" {
		if err := b.fold.Take(e); err != nil {
			return err
		}
		r.First = e
		r.snaps = append(r.snaps, b.fold.State)
		b.seg = segment{from: e.T}
		return nil
	}
	if changes(e.Kind) || e.T-b.looked >= lookEvery {
		b.look(e)
	}
	var late run.State
	if changes(e.Kind) {
		late = b.fold.State
	}
	if err := b.fold.Take(e); err != nil {
		return err
	}
	if changes(e.Kind) {
		b.leave(e, late)
	}
	if r.ordered == 0 && e.Kind == journal.Advised && e.Advice.Do == coach.Add.String() && len(r.ends) == 0 {
		r.ordered = e.T
	}
	if e.Kind == journal.Immersed { // what was read before was of another liquid, or of air
		if b.lifted == nil && b.kept > 0 {
			b.lifted = &lifted{e.T, b.seg, slices.Clone(b.recent), b.next, b.kept}
		}
		b.seg, b.kept = segment{from: e.T}, 0
	}
	b.keep(e)
	b.remember()
	if len(r.items)%snapEvery == 0 {
		r.snaps = append(r.snaps, b.fold.State)
	}
	return nil
}

// keep stores an event: a plain reading in its short form.
func (b *builder) keep(e journal.Event) {
	r := b.run
	it := item{t: e.T, other: -1, temp: math.NaN(), beside: math.NaN()}
	if e.Kind == journal.Read && e.Reading.Refused == "" && !e.Reading.Typed {
		it.decimals = int8(min(e.Reading.Decimals, 15))
		if e.Reading.TempC != nil {
			it.temp = *e.Reading.TempC
		}
		if e.Reading.PH != nil {
			it.v = *e.Reading.PH
			if e.Reading.MV != nil {
				it.beside = *e.Reading.MV
			}
		} else {
			it.v, it.mv = *e.Reading.MV, true
		}
		it.away, it.ph = b.fold.State.Away(), b.fold.State.PH()
		r.items = append(r.items, it)
		b.push(e.T)
		return
	}
	if e.Kind == journal.Read && e.Reading.Refused == "" {
		b.push(e.T)
	}
	it.other = int32(len(r.others))
	r.others = append(r.others, e)
	r.items = append(r.items, it)
}

// push takes a reading of the beaker; one in a standard says nothing of it.
func (b *builder) push(t float64) {
	if !b.fold.State.Away() {
		b.seg.push(t, b.fold.State.PH())
	}
}

// changes reports whether an event ends what readings can be compared.
func changes(k journal.Kind) bool {
	return k == journal.Added || k == journal.Gap || k == journal.Ended
}

// leave notes how the composition stood before an event that ends it: before the
// first drop of an addition, which falls before anybody can put it on record.
func (b *builder) leave(e journal.Event, late run.State) {
	state, t := late, e.T
	var back *segment // what was read since the electrode was put back in the middle of an addition
	if en, ok := b.fold.State.Latest(); e.Kind == journal.Added && ok && en.Seq == e.Seq {
		if l := b.lifted; l != nil && en.From > b.run.putIn() && en.From < l.at {
			since := b.seg
			back = &since
			b.seg, b.recent, b.next, b.kept = l.seg, l.recent, l.next, l.kept
		}
		if state, t = b.began(b.onset(&en), late); state.T == late.T {
			t = e.T
		}
	}
	seg, rest := b.seg.cut(t)
	if back != nil {
		rest = *back
	}
	b.lifted = nil
	b.run.ends = append(b.run.ends, ending{state: state, at: len(b.run.items), t: t, said: e.T, kind: e.Kind, seg: seg})
	b.seg, b.said = rest, e.T
	b.kept = 0
}

func (b *builder) finish() {
	b.release(math.Inf(1))
	b.run.end = b.fold.State
	b.leave(journal.Event{T: b.fold.State.T}, b.fold.State)
}

// How hands give, for additions of which the beginning does not show: it lies in
// the movement that the one before made (common practice, no source).
const (
	perDrop  = 0.5 // s
	sayAfter = 4.5 // s from the last drop until it is put on record
)

// putIn is until when a movement is the electrode being put in, s: nothing had been
// ordered or added before, as the run has it too. 0 where an addition came first.
func (r *Run) putIn() float64 {
	if len(r.ends) > 0 {
		return 0
	}
	return r.ordered
}

// onset is when an addition began to fall, s: where it showed, or else as long
// before its record as its drops take.
func (b *builder) onset(en *view.Entry) float64 {
	if from := math.Max(en.From, b.run.putIn()); from < en.T-0.5 {
		return from
	}
	return math.Max(math.Max(b.said+1, b.run.putIn()), en.T-perDrop*en.Drops-sayAfter)
}

// ending is how a composition stood when it was left.
type ending struct {
	state run.State // just before it was left
	at    int       // events before the one that ended it, the start not counted
	t     float64   // s, when it was left
	said  float64   // s, when that was put on record
	kind  journal.Kind
	seg   segment
}

// segment is the readings of one composition as means over blocks.
type segment struct {
	from   float64
	blocks []block
}

// block is the mean of the readings of blockSpan seconds.
type block struct {
	t, y float64
	n    int
}

// blockSpan is how long a block is, s.
const blockSpan = 5.0

func (s *segment) push(t, y float64) {
	k := math.Floor((t - s.from) / blockSpan)
	if n := len(s.blocks); n > 0 && math.Floor((s.blocks[n-1].t-s.from)/blockSpan) == k {
		b := &s.blocks[n-1]
		b.y += (y - b.y) / float64(b.n+1)
		b.n++
		return
	}
	s.blocks = append(s.blocks, block{t: s.from + (k+0.5)*blockSpan, y: y, n: 1})
}

// cut parts the segment at a time; the second part begins there.
func (s segment) cut(t float64) (before, after segment) {
	before, after = segment{from: s.from}, segment{from: t}
	for _, b := range s.blocks {
		if b.t+blockSpan/2 <= t {
			before.blocks = append(before.blocks, b)
		} else if b.t >= t {
			after.blocks = append(after.blocks, b)
		}
	}
	return before, after
}
