package replay_test

import (
	"context"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/run"
)

// collect runs a source for a while and gives what it said, and when.
func collect(t *testing.T, s meter.Source, wait time.Duration) (out []meter.Report, after []time.Duration) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	ch := make(chan meter.Report)
	ended := make(chan error, 1)
	began := time.Now()
	go func() { ended <- s.Run(ctx, ch) }()
	limit := time.After(wait)
	for {
		select {
		case r := <-ch:
			out, after = append(out, r), append(after, time.Since(began))
		case <-limit:
			cancel()
			assert.ErrorIs(t, <-ended, context.Canceled)
			return out, after
		}
	}
}

// The readings of a run, played again into another one, lead to the same
// readings there, at their own pace.
func TestRunAsAMeter(t *testing.T) {
	c := coachedRun(t, 3)
	r, err := replay.Of(c.log.events)
	require.NoError(t, err)
	synctest.Test(t, func(t *testing.T) {
		out, after := collect(t, r.Source(10), time.Duration(r.Seconds()/10*float64(time.Second))+time.Second)
		var want []journal.Event
		for _, e := range c.log.events {
			if e.Kind == journal.Read {
				want = append(want, e)
			}
		}
		require.Len(t, out, len(want)+1)
		for i, e := range want {
			assert.Equal(t, *e.Reading, *run.Recorded(out[i].Reading))
			assert.InDelta(t, e.T/10, after[i].Seconds(), 1e-6)
			assert.Equal(t, e.At, out[i].At)
		}
		assert.Equal(t, meter.Closed, out[len(want)].Link, "and then it is quiet")
		assert.Contains(t, r.Source(1).String(), "replay")
	})
}

func TestLogAsAMeter(t *testing.T) {
	l, err := replay.ReadLog(strings.NewReader("time_s,pH,temp_c\n0,7.1,20\n2,7.2,20.5\n4,7.3,21\n"), replay.LogOptions{})
	require.NoError(t, err)
	synctest.Test(t, func(t *testing.T) {
		out, after := collect(t, l.Source(0), 10*time.Second)
		require.Len(t, out, 4)
		assert.Equal(t, 7.2, out[1].Reading.Value)
		assert.Equal(t, 20.5, out[1].Reading.TempC)
		assert.Equal(t, 2*time.Second, after[1])
	})
}
