package class

import (
	"math"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/replay"
)

// Figures for telling a copy, a choice of this project. Two people, or one person
// twice, do not press keys in the same rhythm to a hundredth of a second.
const (
	sameBeat   = 0.01 // s
	leastBeats = 2    // times between two acts, below which nothing is said
	sameBeats  = 0.8  // share of them that has to agree
)

// print is the rhythm of the hands in a run: the times between what was done, s.
type print []float64

// printOf is that of a run.
func printOf(r *replay.Run) print {
	var p print
	last := 0.0
	for ev := range r.Others {
		switch ev.Kind {
		case journal.Added, journal.Undone, journal.Corrected, journal.Remarked, journal.Confirmed, journal.Amended, journal.Declined, journal.Dosing, journal.Ended:
			if ev.T > 0 { // what was given before has no rhythm
				p = append(p, ev.T-last)
				last = ev.T
			}
		}
	}
	return p
}

// like reports whether one was copied from the other, whatever else was changed.
func (p print) like(q print) bool {
	n := min(len(p), len(q))
	if n < leastBeats || math.Abs(float64(len(p)-len(q))) > 0.2*float64(n) {
		return false
	}
	same := 0
	for i := range n {
		if math.Abs(p[i]-q[i]) <= sameBeat {
			same++
		}
	}
	return float64(same) >= sameBeats*float64(n)
}

// copies flags what was handed in twice: the same file, the same rhythm, and the
// own bench of somebody else.
func (c *Class) copies() {
	owners := map[uint64]string{}
	for _, r := range c.Rows {
		if r.Operator != "" {
			owners[practice.OwnSeed(r.Operator)] = r.Operator
		}
	}
	for i := range c.Rows {
		r := &c.Rows[i]
		if who, ok := owners[r.Seed]; ok && who != r.Operator {
			r.flag("on the own bench of %s", who)
		}
		for k := range i {
			o := &c.Rows[k]
			switch {
			case r.sum != "" && r.sum == o.sum:
				r.flag("the same journal as %s", o.File)
			case r.earlier(o):
				r.flag("an earlier state of %s", o.File)
			case o.earlier(r):
				o.flag("an earlier state of %s", r.File)
			case r.Exercise == o.Exercise && r.print.like(o.print):
				r.flag("the hands moved as in %s, to a hundredth of a second", o.File)
				o.flag("the hands moved as in %s, to a hundredth of a second", r.File)
			}
		}
	}
}

// earlier reports whether a sound journal is that of a run of the same pupil that went
// on: it was put aside before the end.
func (r *Row) earlier(o *Row) bool {
	return r.sum != "" && o.sum != "" && !r.Ended && r.Seconds < o.Seconds &&
		r.Operator == o.Operator && r.Exercise == o.Exercise && r.Seed == o.Seed && r.Begun.Equal(o.Begun)
}
