package replay

import (
	"math"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/spot"
)

// builder folds events and keeps what a Run needs of them.
type builder struct {
	run  *Run
	fold run.Fold
	seg  segment

	looked float64 // s, when the readings were last looked at for faults
	named  map[spot.Fault]bool
}

// lookEvery is how often the readings are looked at for faults, s: what can be
// seen at all can be seen for longer.
const lookEvery = 30.0

// look notes what the readings say is wrong now.
func (b *builder) look(t float64) {
	b.looked = t
	for _, f := range b.fold.State.Spotted(t) {
		if !b.named[f.Fault] {
			if b.named == nil {
				b.named = map[spot.Fault]bool{}
			}
			b.named[f.Fault] = true
			b.run.spotted = append(b.run.spotted, Mark{t, f.Words()})
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
		b.look(b.fold.State.T)
	}
	if changes(e.Kind) {
		b.leave(e)
	}
	if err := b.fold.Take(e); err != nil {
		return err
	}
	b.keep(e)
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
		r.items = append(r.items, it)
		b.seg.push(e.T, b.fold.State.PH())
		return
	}
	if e.Kind == journal.Read && e.Reading.Refused == "" {
		b.seg.push(e.T, b.fold.State.PH())
	}
	it.other = int32(len(r.others))
	r.others = append(r.others, e)
	r.items = append(r.items, it)
}

// changes reports whether an event ends what readings can be compared.
func changes(k journal.Kind) bool {
	return k == journal.Added || k == journal.Gap || k == journal.Ended
}

// leave notes how the composition stands just before an event that ends it.
func (b *builder) leave(e journal.Event) {
	b.run.ends = append(b.run.ends, ending{state: b.fold.State, at: len(b.run.items), t: e.T, kind: e.Kind, seg: b.seg})
	b.seg = segment{from: e.T}
}

func (b *builder) finish() {
	b.run.end = b.fold.State
	b.leave(journal.Event{T: b.fold.State.T})
}

// ending is how a composition stood when it was left.
type ending struct {
	state run.State // just before the event that ended it
	at    int       // events before it, the start not counted
	t     float64   // s, when it was left
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
