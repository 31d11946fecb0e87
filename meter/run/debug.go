package run

import "fmt"

// Debug is temporary.
func (s State) Debug(t float64) string {
	e := s.track.Estimate(t)
	if s.track.Interval() < 1e9 {
		return fmt.Sprintf("order %v t %.0f dosed %.0f moves %+v", s.order.advice != nil, s.order.t, s.order.dosed, s.track.Moves())
	}
	return fmt.Sprintf("end %.4f±%.4f final %.4f now %.4f noise %.4f tau %.1f late %.3f %s wild moves %v order %v inter %.1f", e.End, e.SD, e.FinalSD, e.Now, e.Noise, e.Tau, e.Late, e.State, len(s.track.Moves()), s.order.advice != nil, s.track.Interval())
}
