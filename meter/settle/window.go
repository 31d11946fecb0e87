package settle

import "math"

// Bin is the mean of the readings of a short stretch of time.
type Bin struct {
	T, Y float64 // s, pH: means over the bin
	N    int     // readings in it
}

// binSpan joins readings closer than this, s: what a meter sends ten times a
// second is not ten independent readings.
const binSpan = 0.5

// maxBins bounds the window; older bins are dropped.
const maxBins = 240

// Window holds the readings since the composition of the beaker last changed.
// It is a value: Push returns a new one and leaves the old one as it was.
type Window struct {
	Since      float64 // s, when the composition changed
	From       float64 // what the meter showed at the change; NaN when there was nothing
	Expected   float64 // the end value expected after it; NaN when unknown
	Doubt      float64 // standard deviation of Expected, pH
	Resolution float64 // of the meter, pH
	Immersed   bool    // the electrode was put into the liquid: nothing has to mix
	Carry      *Carry  // where the electrode stood at the change; nil: at rest at From
	bins       []Bin
	open       Bin
	openAt     float64
}

// Push adds a reading.
func (w Window) Push(t, y float64) Window {
	if w.open.N > 0 && t-w.openAt < binSpan && t >= w.openAt {
		n := float64(w.open.N)
		w.open = Bin{T: (w.open.T*n + t) / (n + 1), Y: (w.open.Y*n + y) / (n + 1), N: w.open.N + 1}
		return w
	}
	if w.open.N > 0 {
		old := w.bins
		if len(old) >= maxBins {
			old = old[len(old)-maxBins+1:]
		}
		w.bins = append(append(make([]Bin, 0, len(old)+1), old...), w.open)
	}
	w.open, w.openAt = Bin{T: t, Y: y, N: 1}, t
	return w
}

// Bins are the readings of the window, the latest last.
func (w Window) Bins() []Bin {
	if w.open.N == 0 {
		return w.bins
	}
	return append(append(make([]Bin, 0, len(w.bins)+1), w.bins...), w.open)
}

// Len is the number of bins.
func (w Window) Len() int {
	if w.open.N == 0 {
		return len(w.bins)
	}
	return len(w.bins) + 1
}

// immersed reports whether the electrode came into the liquid from elsewhere.
func (w *Window) immersed() bool { return w.Immersed || w.Carry == nil && math.IsNaN(w.From) }

// carried is where the lags stood at the change.
func (w *Window) carried(i, k int) standing {
	if w.Carry != nil {
		return w.Carry.at[i][k]
	}
	return standing{mean: [3]float64{w.From, w.From, w.From}}
}

// unrest is how far the electrode was from rest at the change, as far as the
// weights of its shapes tell.
func (w *Window) unrest(weight *[gridSize][shapes]float64) float64 {
	if w.Carry == nil || math.IsNaN(w.From) {
		return 0
	}
	sum := 0.0
	for i := range weight {
		for k, p := range weight[i] {
			if p > 0 {
				sum += p * math.Abs(w.Carry.at[i][k].mean[0]-w.From)
			}
		}
	}
	return sum
}
