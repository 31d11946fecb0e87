package run

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/warmth"
)

// tempStep is the change of temperature, °C, from which the model is computed
// anew: 0.3 °C of Tris is 0.008 pH.
const tempStep = 0.3

// warm takes a temperature sent by the meter.
func (s *State) warm(at, t float64) error {
	came := s.thermometer.Take(at, t, s.Setup.BenchTemp)
	switch came {
	case warmth.Passed:
		return nil
	case warmth.Unsaid:
		s.shift, s.warmer = warmth.Shift{}, nil
		s.version++
		return s.at(s.Setup.BenchTemp)
	}
	temp, _ := s.thermometer.Sent()
	if math.Abs(temp-float64(s.benchTemp)) < tempStep {
		return s.slopes()
	}
	s.version++
	return s.sends(chem.Celsius(math.Round(temp*10)/10), came == warmth.First)
}

// off is by how much the beaker is warmer than the bench is computed for, °C.
func (s *State) off() chem.Celsius {
	if t, ok := s.thermometer.Sent(); ok {
		return chem.Celsius(t) - s.benchTemp
	}
	return 0
}

// plainly is a reading without what the temperature does to it beside that of the bench.
func (s *State) plainly(ph float64) float64 { return s.shift.Plainly(ph, s.off()) }

// estimate is what the readings say of the end value, at the temperature of the bench.
func (s *State) estimate(now float64) probe.Estimate { return s.shift.Here(s.track.Estimate(now)) }

// moves are the movements of the reading, at the temperature of the bench.
func (s *State) moves() []probe.Move {
	list := s.track.Moves()
	for i := range list {
		list[i].Before = s.shift.Here(list[i].Before)
	}
	return list
}

// slopeFrom is how much warmer or colder than the bench, °C, the beaker is before it is
// worked out what that does to it: as much moves Tris by 0.004.
const slopeFrom = 0.15

// slopes works out what a degree does to the beaker as it is, once an addition.
func (s *State) slopes() error {
	n := s.entries.Count()
	by := s.off()
	if s.shift.Knows(n) || math.Abs(float64(by)) < slopeFrom {
		return nil
	}
	est := s.estimate(s.last.t)
	if est.State == probe.Empty {
		return nil
	}
	if s.warmer == nil {
		warmer, err := s.Setup.Bench(s.benchTemp + 1)
		if err != nil {
			return fmt.Errorf("run: %w", err)
		}
		s.warmer = warmer
	}
	o := coach.Observation{After: n, PH: est.Now}
	s.shift.Slopes(s.bench.ReadAt(s.warmer, o, s.history().Additions)-o.PH, by, n)
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
		s.carry(from, s.shift.Carry(t-was))
	}
	s.shift.Forget()
	s.warmer = nil
	return nil
}
