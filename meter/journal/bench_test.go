package journal_test

import (
	"bytes"
	"fmt"
	"runtime"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
)

// eightHours is a journal of 288 000 readings at 10 Hz with an addition and
// its advice each ten minutes, as a long run leaves it.
var eightHours = sync.OnceValue(func() []byte {
	m := &memory{}
	w := journal.NewWriter(m, journal.WithClock(func() time.Time { return dawn }))
	put := func(e journal.Event) {
		if err := w.Append(&e); err != nil {
			panic(err)
		}
	}
	put(start())
	for i := range 288_000 {
		t := float64(i+1) / 10
		e := reading(t, 4+3*t/28_800)
		e.Raw = fmt.Sprintf("pH %.3f %.1f C", *e.Reading.PH, *e.Reading.TempC)
		put(e)
		if i%6000 == 0 {
			put(added(t, 3))
		}
	}
	return m.data
})

func BenchmarkScanEightHours(b *testing.B) {
	data := eightHours()
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		n := 0
		_, err := journal.Scan(bytes.NewReader(data), func(journal.Event) error { n++; return nil })
		require.NoError(b, err)
		require.Greater(b, n, 288_000)
	}
}

// Memory that all events of eight hours take when they are kept.
func BenchmarkKeepEightHours(b *testing.B) {
	data := eightHours()
	var kept []journal.Event
	for b.Loop() {
		kept = kept[:0]
		_, err := journal.Scan(bytes.NewReader(data), func(e journal.Event) error {
			kept = append(kept, e)
			return nil
		})
		require.NoError(b, err)
	}
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	b.ReportMetric(float64(m.HeapInuse-uint64(len(data)))/1e6, "MB-kept")
	runtime.KeepAlive(kept)
}

func BenchmarkAppendReading(b *testing.B) {
	w := journal.NewWriter(&memory{}, journal.WithClock(func() time.Time { return dawn }))
	first := start()
	require.NoError(b, w.Append(&first))
	e := reading(1, 7)
	b.ReportAllocs()
	for b.Loop() {
		if err := w.Append(&e); err != nil {
			b.Fatal(err)
		}
	}
}

// An addition on a real file, synced.
func BenchmarkAppendSynced(b *testing.B) {
	w, err := journal.Create(b.TempDir()+"/run.jsonl", start())
	require.NoError(b, err)
	defer w.Close()
	e := added(1, 2)
	for b.Loop() {
		if err := w.Append(&e); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCheckEightHours(b *testing.B) {
	data := eightHours()
	for b.Loop() {
		r, err := journal.Check(bytes.NewReader(data))
		require.NoError(b, err)
		require.True(b, r.Sound())
	}
}

func BenchmarkResumeEightHours(b *testing.B) {
	path := onFile(b, eightHours())
	for b.Loop() {
		w, _, err := journal.Resume(path, nil)
		require.NoError(b, err)
		require.NoError(b, w.Close())
	}
}

func BenchmarkPeekEightHours(b *testing.B) {
	path := onFile(b, eightHours())
	for b.Loop() {
		_, _, err := journal.Peek(path)
		require.NoError(b, err)
	}
}
