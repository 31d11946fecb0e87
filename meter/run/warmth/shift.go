package warmth

import (
	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/probe"
)

// Shift is by how much the temperature of the beaker alone has moved its pH: a beaker that
// cools or warms drifts without anybody's doing (Tris by −0.028 a degree), and neither an
// electrode on its way nor drops are to be seen in that. The tracker of the readings is told
// them as they would be without it. It is a value; the zero value is none.
type Shift struct {
	off   float64 // pH, from what the tracker takes to the temperature of the bench
	slope float64 // pH a degree, of the beaker as it is
	known bool    // the slope is
	adds  int     // additions that it was told with
	given float64 // off, when the latest addition was put on record
}

// Plainly is a reading without what the temperature does to it, of a beaker so many °C warmer
// than its bench.
func (w *Shift) Plainly(ph float64, warmer chem.Celsius) float64 {
	if !w.known {
		warmer = 0
	}
	return ph - w.off - w.slope*float64(warmer)
}

// Here is an estimate of the tracker at the temperature of the bench.
func (w *Shift) Here(est probe.Estimate) probe.Estimate { return moved(est, w.off) }

// There is an estimate at the temperature of the bench as the tracker has it.
func (w *Shift) There(est probe.Estimate) probe.Estimate { return moved(est, -w.off) }

// Since is what was read before the latest addition, at the temperature of now.
func (w *Shift) Since(est probe.Estimate) probe.Estimate { return moved(est, w.off-w.given) }

func moved(est probe.Estimate, by float64) probe.Estimate {
	est.End, est.Now = est.End+by, est.Now+by
	return est
}

// Given notes that an addition was put on record.
func (w *Shift) Given() { w.given = w.off }

// Knows reports whether the slope was told with so many additions.
func (w *Shift) Knows(adds int) bool { return w.known && w.adds == adds }

// Slopes takes what a degree does, pH, to the beaker with so many additions, so many °C
// warmer than its bench: the reading is what it was.
func (w *Shift) Slopes(slope float64, warmer chem.Celsius, adds int) {
	w.off += (w.slope - slope) * float64(warmer)
	w.slope, w.known, w.adds = slope, true, adds
}

// Carry takes up another bench, so many °C warmer: what a degree does there is to be told
// anew. It gives by how much, pH, that moves what was read.
func (w *Shift) Carry(warmer chem.Celsius) float64 {
	by := w.slope * float64(warmer)
	w.off += by
	return by
}

// Forget notes that what a degree does is to be told anew.
func (w *Shift) Forget() { w.known = false }
