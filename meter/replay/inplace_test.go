package replay_test

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay/replaytest"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/trial"
)

// A Fold changes its state in place. What it comes to is what Step comes to, which
// leaves the state before as it was; and states that were copied on the way are not
// changed by what is folded after them. Over simulated runs, and over a recording of
// an ISFET in Tris (its SOURCE.md says from where) to which additions are made.
func TestFoldInPlaceIsStep(t *testing.T) {
	lists := map[string][]journal.Event{"recording": onRecord(t)}
	for _, seed := range []uint64{2} {
		lists["simulated "+strconv.FormatUint(seed, 10)] = coachedRun(t, seed).log.Events
	}
	looks := 0
	for name, events := range lists {
		var f run.Fold
		var kept []run.State
		var seen []string
		pure, err := run.Open(events[0])
		require.NoError(t, err)
		for i, e := range events {
			require.NoError(t, f.Take(e))
			if i > 0 {
				pure, err = run.Step(pure, e)
				require.NoError(t, err)
			}
			if i%23 == 0 {
				kept, seen = append(kept, f.State), append(seen, address.ReplaceAllString(picture(pure), ""))
			}
		}
		for i := range kept {
			looks++
			require.Equal(t, seen[i], address.ReplaceAllString(picture(kept[i]), ""), "%s, event %d", name, 23*i)
		}
	}
	t.Logf("%d looks compared", looks)
	assert.Greater(t, looks, 30)
}

// address is that of something in memory, which two equal views may have apart.
var address = regexp.MustCompile(`0x[0-9a-f]+`)

// recorded is a run with the readings of a recording.
func onRecord(t *testing.T) []journal.Event {
	f, err := os.Open("../../testdata/recordings/isfet-tris/first_hour.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	b, err := trial.Draw(trial.Ordinary, 2)
	require.NoError(t, err)
	plan, err := json.Marshal(b.Plan)
	require.NoError(t, err)
	out := []journal.Event{{Seq: 1, Kind: journal.Started, Start: &journal.Start{Format: journal.Format, Program: "test", Plan: plan}}}
	put := func(e journal.Event) {
		e.Seq, e.At = int64(len(out)+1), wall(e.T)
		out = append(out, e)
	}
	for i, row := range rows[1:] {
		at, err := strconv.ParseFloat(row[0], 64)
		require.NoError(t, err)
		mv, err := strconv.ParseFloat(row[1], 64)
		require.NoError(t, err)
		ph := math.Round(1000*(7+(mv-77)/58)) / 1000 // about 58 mV per pH
		put(journal.Event{T: at, Kind: journal.Read, Reading: &journal.Reading{PH: &ph, Decimals: 3}})
		if i%60 == 59 {
			put(journal.Event{T: at, Kind: journal.Added, Added: &journal.Addition{Titrant: b.Setup.Stocks[weak].Name, Drops: 1, ML: 0.05}})
		}
	}
	return out
}

// A run of a few events, without a reading, is shown as far as it goes.
func TestShortRunOpens(t *testing.T) {
	events := onRecord(t)[:2]
	events = append(events, journal.Event{Seq: 3, T: events[1].T + 1, Kind: journal.Ended, End: &journal.End{Outcome: "test"}})
	r, err := replaytest.Of(events)
	require.NoError(t, err)
	require.Equal(t, 2, r.Len())
}
