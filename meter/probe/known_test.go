package probe_test

import (
	"math"
	"testing"

	"example.org/halfdrop/meter/probe"
	"github.com/stretchr/testify/require"
)

// TestElectrodeInFigures: an electrode of 8 s that was followed is one of about 8 s
// when it is taken up from its figures, less surely the more of it is forgotten.
func TestElectrodeInFigures(t *testing.T) {
	k := probe.Track(probe.Unknown()).Resolve(0.001)
	y := 7.0
	for i := range 400 {
		end := []float64{7.0, 5.0}[i/100%2]
		y += (end - y) * (1 - math.Exp(-1.0/8))
		k = k.Push(float64(i), math.Round(1000*y+0.7*math.Sin(float64(i*i)))/1000)
	}
	f := k.Electrode().Known()
	require.InDelta(t, math.Log(8), math.Log(f.Tau), 0.35)
	back := f.Electrode(0.05).Known()
	require.InDelta(t, math.Log(f.Tau), math.Log(back.Tau), 0.15)
	last := back.TauSD
	for _, fresh := range []float64{0.3, 0.6, 0.95} {
		sd := f.Electrode(fresh).Known().TauSD
		require.Greater(t, sd, last)
		last = sd
	}
	unknown := probe.Unknown().Known()
	require.InDelta(t, unknown.TauSD, f.Electrode(1).Known().TauSD, 1e-9)
}
