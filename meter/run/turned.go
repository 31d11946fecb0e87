package run

import (
	"math"

	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/order"
	"example.org/halfdrop/meter/run/view"
)

// turnedBy is by how much, pH, a reading has to have gone against an addition on record for
// it to be no scatter and no slip of the pen. A choice of this project.
const turnedBy = 0.3

// turned is the latest addition, where the reading has come to rest against it although
// others of its bottle have led their way: the electrode has left the beaker as it fell, or
// another bottle was taken. Nothing is to be ordered on that: 210 drops of strong base were,
// on a reading of a standard.
func (s *State) turned(est probe.Estimate) (en view.Entry, is bool) {
	en, ok := s.Latest()
	if !ok || s.byHand || s.bench.Guide != nil || est.State == probe.Moving || est.State == probe.Empty || s.said.WentOn(en.Seq) {
		return en, false
	}
	pull := s.pull(en.Stock)
	if (est.End-en.Before.End)*pull > -math.Max(turnedBy, order.MovedSDs*math.Hypot(est.SD, en.Before.SD)) {
		return en, false
	}
	var last *view.Entry
	for i := range s.entries {
		e := &s.entries[i]
		if e.Undone {
			continue
		}
		if last != nil && last.Stock == en.Stock && (e.Before.End-last.Before.End)*pull > ledBy {
			return en, true
		}
		last = e
	}
	return en, false
}

// turns reports whether there is such an addition.
func (s *State) turns(est probe.Estimate) bool {
	_, is := s.turned(est)
	return is
}

// ledBy is by how much an earlier addition has led its way to tell what is in its bottle, pH.
const ledBy = 0.05
