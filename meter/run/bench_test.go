package run_test

import (
	"math"
	"math/rand/v2"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/keep"
)

// Taking up a run of eight hours at 10 Hz again.
func BenchmarkResumeEightHours(b *testing.B) {
	path := filepath.Join(b.TempDir(), "run.jsonl")
	start := first(tris())
	w, err := journal.Create(path, start)
	require.NoError(b, err)
	r := rand.New(rand.NewPCG(1, 2))
	for i := range 288_000 {
		t := float64(i+1) / 10
		ph := math.Round(1000*(9-t/28_800+0.003*r.NormFloat64())) / 1000
		require.NoError(b, w.Append(&journal.Event{At: wall(t), T: t, Kind: journal.Read, Reading: &journal.Reading{PH: &ph, Decimals: 3}}))
		if i%6000 == 5999 {
			require.NoError(b, w.Append(&journal.Event{At: wall(t), T: t, Kind: journal.Added, Added: &journal.Addition{Titrant: "weak acid", Drops: 2, ML: 0.1}}))
		}
	}
	require.NoError(b, w.Close())
	for b.Loop() {
		r, err := keep.ResumeHeld(path, wall(30_000))
		require.NoError(b, err)
		require.NoError(b, r.Writer.Close())
	}
}
