package run_test

import (
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/keep"
)

// Ten readings a second for eight hours, with bad lines, an addition each hour
// and a look each minute: the state of a run stays as big as it was.
func TestEightHoursOfReadings(t *testing.T) {
	hours := 8.0
	if os.Getenv("HALFDROP_LONG") == "" {
		hours = 0.5
		t.Log("SHORTENED: half an hour; set HALFDROP_LONG=1 for eight")
	}
	k, err := keep.NewKeeper(first(tris()), &keep.Discard{}, wall)
	require.NoError(t, err)
	r := rand.New(rand.NewPCG(4, 4))
	total := int(hours * 36_000)
	var early, late uint64
	for i := range total {
		at := float64(i+1) / 10
		y := math.Round(1000*(10.4-at/36_000+0.003*r.NormFloat64())) / 1000
		require.NoError(t, k.Take(journal.Event{T: at, Kind: journal.Read, Reading: &journal.Reading{PH: &y, Decimals: 3}}))
		switch {
		case i%100 == 99:
			require.NoError(t, k.Take(journal.Event{T: at, Kind: journal.BadLine, Raw: "pH 7.0x", Why: "damaged"}))
		case i%36_000 == 18_000:
			require.NoError(t, k.Take(journal.Event{T: at, Kind: journal.Added, Added: &journal.Addition{Titrant: "weak acid", Drops: 1, ML: 0.05}}))
		case i%600 == 0:
			k.Look(at)
		}
		switch i {
		case total / 10:
			early = heap()
		case total - 1:
			late = heap()
		}
	}
	t.Logf("%g h, %d readings; heap %d kB after a tenth, %d kB at the end", hours, total, early>>10, late>>10)
	assert.Less(t, float64(late), float64(early)+512<<10)
	runtime.KeepAlive(k)
}

// heap is the memory in use, in bytes.
func heap() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}
