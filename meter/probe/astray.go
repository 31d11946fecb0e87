package probe

import "math"

// Figures of judgement of a belief that went astray: slow drops or wild readings were
// taken for the way of the electrode. A choice of this project.
const (
	lateMost  = 0.22 // share of the late part, beyond which no electrode was seen
	lateLeast = 0.03 // pH, what it may lack whatever the way was
	driftOf   = 20   // readings that show what a slow way there still is
	driftSDs  = 3.0  // standard deviations of their slope
	driftBy   = 0.02 // pH, by which the end may lie elsewhere whatever they show
)

// astray reports whether the late part has become what that of no electrode is, by
// its share or by what it lacks of the way that was gone.
func (b *bank) astray(s *summary) bool {
	return s.late > lateMost || math.Abs(s.lacks) > lateMost*(b.went+b.unseen+math.Abs(s.end-b.base))+lateLeast
}

// adrift reports whether the latest readings stand too still for an end so far away:
// what is still to go at a rate is that rate times the time constant, and none is
// longer than the longest of the late part.
func (k *Tracker) adrift(s *summary) bool {
	n := len(k.past)
	if n < driftOf {
		return false
	}
	slope, se := k.slope(k.past[n-driftOf:])
	longest := lateGrid[len(lateGrid)-1]
	return math.Abs(s.end-s.now) > (math.Abs(slope)+driftSDs*se*k.hum.Louder())*longest+driftBy
}
