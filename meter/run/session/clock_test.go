package session_test

import (
	"context"
	"reflect"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/session"
	"example.org/halfdrop/meter/run/view"
)

// steadyMeter sends readings, none at the moment of another event.
type steadyMeter struct{}

func (steadyMeter) String() string { return "a steady meter" }

func (steadyMeter) Run(ctx context.Context, out chan<- meter.Report) error {
	tick := time.NewTicker(473 * time.Millisecond)
	defer tick.Stop()
	for n := 0; ; n++ {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case at := <-tick.C:
			ph := 10.40 + 0.01*float64(n%2)
			out <- meter.Report{Kind: meter.GotReading, At: at, Reading: meter.Reading{At: at, Value: ph, Decimals: 2}}
		}
	}
}

// kept is a log that keeps its events in memory.
type kept struct {
	keep.Discard
	events []journal.Event
}

func (k *kept) Append(e *journal.Event) error {
	if err := k.Discard.Append(e); err != nil {
		return err
	}
	k.events = append(k.events, *e)
	return nil
}

// The clock of the computer is set forward and back in the middle of a run: one
// remark each, with words for the person, and nothing else is any different
// from the same run without it.
func TestClockSteps(t *testing.T) {
	for name, tt := range map[string]struct {
		step  time.Duration
		words string
	}{
		"forward":             {time.Hour, "went forward by 1h0m0s, or it slept"},
		"back":                {-time.Hour, "went back by 1h0m0s"},
		"back, before dawn":   {-100_000 * time.Hour, "went back by"},
		"a little":            {3 * time.Second, "went forward by 3s"},
		"slewed, not set":     {time.Second, ""},
		"summer time: no set": {0, ""},
	} {
		t.Run(name, func(t *testing.T) {
			plain, _ := clockRun(t, 0)
			stepped, views := clockRun(t, tt.step)
			var remarks []string
			var same []journal.Event
			for _, e := range stepped {
				if e.Kind == journal.Remarked {
					assert.Equal(t, session.ClockStep, e.Remark.Code)
					remarks = append(remarks, e.Remark.Text)
					continue
				}
				e.Seq = int64(len(same) + 2)
				same = append(same, e)
			}
			assert.True(t, reflect.DeepEqual(plain, same), "ages, settling, advice and times are those of the run's own clock")
			if tt.words == "" {
				assert.Empty(t, remarks)
				return
			}
			require.Len(t, remarks, 1, "said once")
			assert.Contains(t, remarks[0], tt.words)
			shown := false
			for _, v := range views {
				for _, a := range v.Answers {
					shown = shown || strings.Contains(a.Text, tt.words)
				}
				assert.Less(t, v.Age, 1.0, "a reading does not age by it")
			}
			assert.True(t, shown, "said on the screen")
			assert.Equal(t, coach.Add, views[len(views)-1].Advice.Do)
		})
	}
}

// clockRun is forty seconds of a run, in the middle of which the clock is set
// by a step.
func clockRun(t *testing.T, step time.Duration) (events []journal.Event, views []view.View) {
	synctest.Test(t, func(t *testing.T) {
		log := &kept{}
		log.Append(&journal.Event{})
		k, err := keep.NewKeeper(first(tris()), log, wall)
		require.NoError(t, err)
		begin := time.Now()
		now := func() float64 { return time.Since(begin).Seconds() }
		s := session.NewSession(k, steadyMeter{}, now, nil)
		s.WatchClock(func() time.Time {
			at := wall(now())
			if now() > 20 {
				at = at.Add(step)
			}
			return at
		})
		ctx, cancel := context.WithTimeout(t.Context(), 40_010*time.Millisecond)
		defer cancel()
		go s.Run(ctx)
		for v := range s.Views() {
			if v.HasReading {
				views = append(views, v)
			}
		}
		events = log.events[1:]
	})
	return events, views
}
