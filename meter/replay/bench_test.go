package replay_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/replay/replaytest"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/trial"
)

// longRun is a journal of so many readings at 10 Hz on a plan of a trial
// bench, with an addition each ten minutes.
func longRun(readings int) []byte {
	b, err := trial.Draw(trial.Ordinary, 2)
	must(err)
	plan, err := json.Marshal(b.Plan)
	must(err)
	s := &replaytest.Sheet{}
	w := journal.NewWriter(s, journal.WithClock(func() time.Time { return dawn }))
	put := func(e journal.Event) {
		e.At = wall(e.T)
		must(w.Append(&e))
	}
	put(journal.Event{Kind: journal.Started, Start: &journal.Start{Format: journal.Format, Program: "test", Plan: plan}})
	r, temp := rand.New(rand.NewPCG(1, 2)), 22.0
	for i := range readings {
		t := float64(i+1) / 10
		ph := math.Round(1000*(7+t/28_800+0.02*math.Exp(-math.Mod(t, 600)/8)+0.003*r.NormFloat64())) / 1000
		put(journal.Event{T: t, Kind: journal.Read, Raw: fmt.Sprintf("pH %.3f %.1f C", ph, temp),
			Reading: &journal.Reading{PH: &ph, TempC: &temp, Decimals: 3}})
		if i%6000 == 5999 {
			put(journal.Event{T: t, Kind: journal.Added, Added: &journal.Addition{Titrant: b.Setup.Stocks[weak].Name, Drops: 1, ML: 0.05}})
		}
	}
	return s.Bytes()
}

func must(err error) {
	if err != nil {
		panic(err)
	}
}

var eightHours = sync.OnceValue(func() []byte { return longRun(288_000) })

func BenchmarkOpenEightHours(b *testing.B) {
	data := eightHours()
	b.ReportAllocs()
	for b.Loop() {
		_, err := replay.Read(bytes.NewReader(data))
		require.NoError(b, err)
	}
}

// The cost of folding is linear: the same per event for an hour and for eight.
func BenchmarkOpenOneHour(b *testing.B) {
	data := longRun(36_000)
	for b.Loop() {
		_, err := replay.Read(bytes.NewReader(data))
		require.NoError(b, err)
	}
}

// A jump to anywhere, with the view and its curve: what a key press costs.
func BenchmarkJump(b *testing.B) {
	r, err := replay.Read(bytes.NewReader(eightHours()))
	require.NoError(b, err)
	rnd := rand.New(rand.NewPCG(3, 4))
	worst := time.Duration(0)
	for b.Loop() {
		n := rnd.IntN(r.Len())
		began := time.Now()
		s := r.At(n)
		_ = s.LookAgain(s.T, view.View{Version: -1})
		worst = max(worst, time.Since(began))
	}
	b.ReportMetric(float64(worst.Microseconds())/1e3, "ms-worst")
}

// Memory that an open run of eight hours keeps.
func BenchmarkKeptEightHours(b *testing.B) {
	data := eightHours()
	var r *replay.Run
	for b.Loop() {
		var err error
		r, err = replay.Read(bytes.NewReader(data))
		require.NoError(b, err)
	}
	runtime.GC()
	var with, without runtime.MemStats
	runtime.ReadMemStats(&with)
	runtime.KeepAlive(r)
	r = nil
	runtime.GC()
	runtime.ReadMemStats(&without)
	b.ReportMetric(float64(with.HeapAlloc-without.HeapAlloc)/1e6, "MB-kept")
}

func BenchmarkReviewEightHours(b *testing.B) {
	r, err := replay.Read(bytes.NewReader(eightHours()))
	require.NoError(b, err)
	for b.Loop() {
		_ = r.Review()
	}
}
