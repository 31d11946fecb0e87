package practice

import (
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/session"
	"example.org/halfdrop/meter/sim"
)

// Plate is the bench of an exercise as a plate at which drops fall one by one.
// What is taken back leaves no trace in the dice, so that the run can be done
// again from its journal; and a log that was wrong before the person came is put
// right without a change of the beaker.
type Plate struct {
	*sim.Bench
	// Last is the kind and number of the latest event on record; nil stands for an
	// addition.
	Last func() (journal.Kind, int64)

	wrong []Given // still in the log as they never fell
	dealt int64   // number of the undo that was dealt with last
}

// Dips is false: what an exercise hides in its electrode would show in a standard.
func (p *Plate) Dips() bool { return false }

// NewPlate is the plate of a bench of the exercise.
func (e *Exercise) NewPlate(b *sim.Bench) *Plate {
	return &Plate{Bench: b, wrong: slices.DeleteFunc(slices.Clone(e.Given), func(g Given) bool { return g.fell() == g.Drops })}
}

// Begin begins an addition of drops; nothing of it has fallen yet.
func (p *Plate) Begin(titrant string, drops float64) (session.Pour, error) {
	return p.Bench.Begin(titrant, drops, 0)
}

// Dispense adds to the beaker; a correction of what the log said wrongly is on
// paper only.
func (p *Plate) Dispense(titrant string, drops float64, v chem.Volume) error {
	if kind, _ := p.latest(); kind == journal.Corrected && p.paper() {
		p.wrong = p.wrong[1:]
		return nil
	}
	return p.Bench.Dispense(titrant, drops, v)
}

// Retract takes back what was recorded and never given; what the log said wrongly
// before the person came stays in the beaker.
func (p *Plate) Retract(titrant string, drops float64, v chem.Volume) error {
	kind, seq := p.latest()
	i := slices.IndexFunc(p.wrong, func(g Given) bool { return g.Titrant == titrant && g.Drops == drops })
	if i >= 0 {
		g := p.wrong[i]
		p.wrong = slices.Delete(p.wrong, i, i+1)
		if kind == journal.Corrected { // what it is corrected to comes next
			p.wrong = slices.Insert(p.wrong, 0, Given{Fell: g.fell()})
		}
		return nil
	}
	if kind == journal.Undone && seq != p.dealt { // a drop that has missed the beaker did so once
		p.dealt = seq
		return p.Bench.Retract(titrant, drops, v)
	}
	return p.Bench.Unmake(titrant, drops, v)
}

// paper reports whether what comes next is the second half of a correction on paper.
func (p *Plate) paper() bool { return len(p.wrong) > 0 && p.wrong[0].Titrant == "" }

func (p *Plate) latest() (journal.Kind, int64) {
	if p.Last == nil {
		return journal.Added, 0
	}
	return p.Last()
}
