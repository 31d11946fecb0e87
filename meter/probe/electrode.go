package probe

// Electrode is what is known of an electrode before its first reading of a run:
// weights of time constants and late part, and its noise.
type Electrode struct {
	logW [cells]float64
	hiss [len(noiseMid)]hiss
}

// Unknown is an electrode that nobody has seen before.
func Unknown() Electrode {
	var e Electrode
	for i, sd := range noiseMid {
		e.hiss[i] = hiss{shape: noiseDF, scale: noiseDF * sd * sd}
	}
	for i, c := range allCells {
		e.logW[i] = c.prior()
	}
	return e
}
