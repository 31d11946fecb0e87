package run

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
)

// warmth is by how much the temperature of the beaker alone has moved its pH: a beaker that
// cools or warms drifts without anybody's doing (Tris by −0.028 a degree), and neither an
// electrode on its way nor drops are to be seen in that. The tracker is told readings as
// they would be without it.
type warmth struct {
	off    float64      // pH, from what the tracker takes to the temperature of the bench
	slope  float64      // pH a degree, of the beaker as it is
	warmer *coach.Bench // a degree warmer than the bench, to tell the slope by; nil before a temperature was sent
	told   int          // additions that the slope was told with
	given  float64      // off, when the latest addition was put on record
}

// plainly is a reading without what the temperature does to it beside that of the bench.
func (s *State) plainly(ph float64) float64 {
	return ph - s.warmth.off - s.warmth.slope*s.warmer()
}

// warmer is by how much the beaker is warmer than the bench is computed for, °C.
func (s *State) warmer() float64 {
	if math.IsNaN(s.last.temp) || s.warmth.told == 0 {
		return 0
	}
	return s.last.temp - float64(s.benchTemp)
}

// estimate is what the readings say of the end value, at the temperature of the bench.
func (s *State) estimate(now float64) probe.Estimate { return s.warmth.here(s.track.Estimate(now)) }

// moves are the movements of the reading, at the temperature of the bench.
func (s *State) moves() []probe.Move {
	list := s.track.Moves()
	for i := range list {
		list[i].Before = s.warmth.here(list[i].Before)
	}
	return list
}

// here is an estimate of the tracker at the temperature of the bench.
func (w warmth) here(est probe.Estimate) probe.Estimate {
	est.End, est.Now = est.End+w.off, est.Now+w.off
	return est
}

// there is an estimate at the temperature of the bench as the tracker has it.
func (w warmth) there(est probe.Estimate) probe.Estimate {
	est.End, est.Now = est.End-w.off, est.Now-w.off
	return est
}

// before is what the reading was before the latest addition, at the temperature of now.
func (s *State) before(est probe.Estimate) probe.Estimate {
	by := s.warmth.off - s.warmth.given
	est.End, est.Now = est.End+by, est.Now+by
	return est
}

// slopeFrom is how much warmer or colder than the bench, °C, the beaker is before it is
// worked out what that does to it: as much moves Tris by 0.004.
const slopeFrom = 0.15

// slopes works out what a degree does to the beaker as it is, once an addition.
func (s *State) slopes() error {
	n := s.entries.Count()
	by := s.last.temp - float64(s.benchTemp)
	if s.warmth.told == n+1 || math.Abs(by) < slopeFrom {
		return nil
	}
	est := s.estimate(s.last.t)
	if est.State == probe.Empty {
		return nil
	}
	if s.warmth.warmer == nil {
		warmer, err := s.Setup.Bench(s.benchTemp + 1)
		if err != nil {
			return fmt.Errorf("run: %w", err)
		}
		s.warmth.warmer = warmer
	}
	o := coach.Observation{After: n, PH: est.Now}
	slope := s.bench.ReadAt(s.warmth.warmer, o, s.history().Additions) - o.PH
	s.warmth.off += (s.warmth.slope - slope) * by
	s.warmth.slope, s.warmth.told = slope, n+1
	return nil
}

// carry brings what was read at the temperature of one bench to that of the present one.
func (s *State) carry(from *coach.Bench, by float64) {
	adds := s.history().Additions
	obs := make([]coach.Observation, len(s.observed))
	for i, o := range s.observed {
		o.PH = from.ReadAt(s.bench, o, adds)
		obs[i] = o
	}
	s.observed = obs
	s.warmth.off += by
	if s.order.Advice != nil {
		s.order.Est.End, s.order.Est.Now = s.order.Est.End+by, s.order.Est.Now+by
	}
}

// sends computes the bench anew for a temperature that the meter sends.
func (s *State) sends(t chem.Celsius, first bool) error {
	from, was := s.bench, s.benchTemp
	if err := s.at(t); err != nil {
		return err
	}
	if !first {
		s.carry(from, s.warmth.slope*float64(t-was))
	}
	s.warmth.warmer, s.warmth.told = nil, 0
	return nil
}
