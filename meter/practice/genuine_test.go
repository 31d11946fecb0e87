package practice_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/replay/replaytest"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/sim"
)

// honest is a run as a session makes it on a busy machine: readings are taken and
// recorded late, drops fall one by one at the ticks of the program, and what was
// counted by Space and given otherwise is taken back first.
type honest struct {
	t        *testing.T
	r        *rand.Rand
	e        *practice.Exercise
	s        practice.Slip
	b        *sim.Bench
	plate    *practice.Plate
	events   []journal.Event
	now      float64 // s of the run
	readings int
	busy     float64 // share of the ticks that are late
}

func newHonest(t *testing.T, name string, seed uint64, speed, busy float64) *honest {
	e, err := practice.Find(name)
	require.NoError(t, err)
	b, _, err := e.NewBench(seed)
	require.NoError(t, err)
	s, err := practice.NewSlip(e, seed, practice.Off, speed, time.Second/2)
	require.NoError(t, err)
	s.Drips = true
	first, err := practice.Start(e, s, noon, "test", "bench 3")
	require.NoError(t, err)
	h := &honest{t: t, r: rand.New(rand.NewPCG(seed, 4)), e: e, s: s, b: b, plate: e.NewPlate(b), events: []journal.Event{first}, busy: busy}
	h.plate.Last = func() (journal.Kind, int64) { e := h.events[len(h.events)-1]; return e.Kind, e.Seq }
	for _, g := range e.Given {
		h.log(journal.Event{Kind: journal.Added, Added: &journal.Addition{Titrant: g.Titrant, Drops: g.Drops, ML: g.Drops * 0.05}})
	}
	return h
}

func (h *honest) log(e journal.Event) {
	e.Seq, e.T, e.At = int64(len(h.events))+1, math.Round(h.now*1e8)/1e8, noon
	h.events = append(h.events, e)
}

// tick lets a twentieth of a second of the wall pass, now and then much more.
func (h *honest) tick() {
	wall := 0.05 + 0.004*h.r.Float64()
	if h.r.Float64() < h.busy {
		wall += 0.4 * h.r.Float64()
	}
	h.now += wall * h.s.Speed
	for ; 0.5*float64(h.readings) <= h.now; h.readings++ {
		h.b.Advance(0.5 * float64(h.readings))
		if h.r.Float64() < h.busy/4 {
			h.b.Advance(h.now) // a drop came between
		}
		h.log(journal.Event{Kind: journal.Read, Reading: recorded.Reading(h.b.Sample())})
	}
}

func (h *honest) wait(s float64) {
	for until := h.now + s; h.now < until; {
		h.tick()
	}
}

// give lets drops fall after Enter, and records them when all are in.
func (h *honest) give(titrant string, drops float64) {
	if h.r.Float64() < 0.3 { // counted by Space first, then another amount was typed
		h.b.Advance(h.now)
		p, err := h.plate.Begin(titrant, 1)
		require.NoError(h.t, err)
		p.Fall(1)
		h.tick()
		require.NoError(h.t, h.plate.Retract(titrant, 1, 0))
		require.NoError(h.t, h.plate.Dispense(titrant, drops, 0))
		h.log(journal.Event{Kind: journal.Added, Added: &journal.Addition{Titrant: titrant, Drops: drops, ML: drops * 0.05}})
		return
	}
	h.b.Advance(h.now)
	p, err := h.plate.Begin(titrant, drops)
	require.NoError(h.t, err)
	for fallen, next := 0.0, h.now; ; h.tick() {
		h.b.Advance(h.now)
		for ; fallen < drops && h.now >= next; next += 0.6 {
			p.Fall(math.Min(1, drops-fallen) / drops)
			fallen++
		}
		if fallen >= drops {
			break
		}
	}
	h.log(journal.Event{Kind: journal.Added, Added: &journal.Addition{Titrant: titrant, Drops: drops, ML: drops * 0.05}})
}

// whole is a run of three to five additions, with an undo now and then.
func (h *honest) whole() []journal.Event {
	setup, err := h.e.Setup()
	require.NoError(h.t, err)
	h.wait(15 + 20*h.r.Float64())
	for range 3 + h.r.IntN(3) {
		st := setup.Stocks[h.r.IntN(len(setup.Stocks))]
		h.give(st.Name, float64(1+h.r.IntN(12)))
		h.wait(5 + 30*h.r.Float64())
		if h.r.Float64() < 0.1 {
			last := h.events[len(h.events)-1]
			for i := len(h.events) - 1; last.Added == nil; i-- {
				last = h.events[i]
			}
			h.log(journal.Event{Kind: journal.Undone, Undo: &journal.Undo{Seq: last.Seq}})
			require.NoError(h.t, h.plate.Retract(last.Added.Titrant, last.Added.Drops, chem.Volume(last.Added.ML)*chem.Millilitre))
		}
		if len(h.e.Faults) > 0 && h.r.Float64() < 0.3 {
			f := h.e.Faults[0].Name
			h.log(journal.Event{Kind: journal.Remarked, Remark: &journal.Remark{Text: "it", Code: practice.FaultCode(f, h.now-3, false, practice.Unsaid)}})
			h.b.Advance(h.now)
			h.b.Mend(f)
		}
	}
	h.wait(20)
	h.log(journal.Event{Kind: journal.Ended, End: &journal.End{Outcome: "done"}})
	return h.events
}

// No honest run is flagged, at any speed and on a busy machine; HALFDROP_RUNS is how
// many are made, HALFDROP_SEED the first bench. The same run with its readings moved, or on another bench, is found.
func TestHonestRunsAreGenuine(t *testing.T) {
	runs, err := strconv.Atoi(os.Getenv("HALFDROP_RUNS"))
	if err != nil {
		runs = 17
		t.Log("17 runs; HALFDROP_RUNS=500 makes more")
	}
	first, err := strconv.Atoi(os.Getenv("HALFDROP_SEED"))
	if err != nil {
		first = 3000
	}
	names := []string{"no-coach", "slow-electrode", "mussel-tank", "sand-cores", "reef-hut", "edge", "late-part", "teaching-lab", "whelk-counts", "night-log", "come-back", "two-troubles", "tidal-samples", "last-watch",
		"borrowed-sensor", "sea-probe", "cheese-cellar"}
	speeds := []float64{1, 2, 4, 8, 16, 20, 32}
	least, forged, found, moved := 1.0, 0, 0, 0
	for i := range runs {
		name, speed := names[i%len(names)], speeds[(i+i/len(names))%len(speeds)]
		events := newHonest(t, name, uint64(first+i), speed, []float64{0, 0.05, 0.2}[i%3]).whole()
		r, err := replaytest.Of(events)
		require.NoError(t, err, "%s run %d", name, i)
		share, err := practice.Genuine(r)
		require.NoError(t, err)
		least = math.Min(least, share)
		assert.GreaterOrEqual(t, share, practice.SameShare, "%s run %d at × %g", name, i, speed)

		if i%5 != 0 {
			continue
		}
		forged++
		r, err = replaytest.Of(shifted(events, 0.06))
		require.NoError(t, err)
		if share, _ = practice.Genuine(r); share < practice.SameShare {
			moved++
		}
		r, err = replaytest.Of(reseeded(t, events))
		require.NoError(t, err)
		if share, _ = practice.Genuine(r); share < practice.SameShare {
			found++
		}
	}
	t.Logf("%d honest runs, the least share %.3f; of %d forgeries each, found: readings moved by 0.06 pH %d, said to be of another bench %d", runs, least, forged, moved, found)
	assert.Equal(t, forged, moved, "readings moved")
	assert.Equal(t, forged, found, "said to be of another bench")
}

// What a recorded electrode had more than the solution gave hangs on the second, and which
// second a reading is of, on a machine that was busy: this honest run was once flagged, with
// 81 % of its readings.
func TestRecordedElectrodeOnABusyMachine(t *testing.T) {
	events := newHonest(t, "cheese-cellar", 730357, 20, 0.2).whole()
	r, err := replaytest.Of(events)
	require.NoError(t, err)
	share, err := practice.Genuine(r)
	require.NoError(t, err)
	assert.GreaterOrEqual(t, share, 0.97)
	r, err = replaytest.Of(shifted(events, 0.06))
	require.NoError(t, err)
	share, err = practice.Genuine(r)
	require.NoError(t, err)
	assert.Less(t, share, practice.SameShare)
}

// An honest run whose drops, where nothing stirred, fell just before what fell earlier
// would have come to the electrode: by the record it had come already.
func TestUnstirredByAMoment(t *testing.T) {
	r, err := replaytest.Of(newHonest(t, "mussel-tank", 900071, 16, 0.05).whole())
	require.NoError(t, err)
	share, err := practice.Genuine(r)
	require.NoError(t, err)
	assert.GreaterOrEqual(t, share, practice.SameShare)
}

// shifted has all readings moved by d pH.
func shifted(events []journal.Event, d float64) []journal.Event {
	out := slices.Clone(events)
	for i, e := range out {
		if e.Reading != nil && e.Reading.PH != nil {
			r, ph := *e.Reading, *e.Reading.PH+d
			r.PH = &ph
			out[i].Reading = &r
		}
	}
	return out
}

// reseeded is said to be of another bench.
func reseeded(t *testing.T, events []journal.Event) []journal.Event {
	out := slices.Clone(events)
	s, err := practice.SlipOf(out[0])
	require.NoError(t, err)
	s.Seed += 17
	start := *out[0].Start
	start.Practice, err = json.Marshal(s)
	require.NoError(t, err)
	out[0].Start = &start
	return out
}

// renamed is the run of somebody else, with every line and sum written anew.
func renamed(events []journal.Event, who string) []journal.Event {
	out := slices.Clone(events)
	start := *out[0].Start
	start.Operator = who
	out[0].Start = &start
	return out
}

// A renamed journal whose chain was made anew is found by the rhythm of its hands,
// also when its clock was moved and an addition changed; two honest runs of the same
// bench are not alike.
func TestRenamedJournalsAreFound(t *testing.T) {
	folder := t.TempDir()
	one := newHonest(t, "no-coach", 109, 2, 0)
	events := one.whole()
	other := newHonest(t, "no-coach", 109, 2, 0)
	other.r = rand.New(rand.NewPCG(8, 8))
	stored(t, folder, "one", renamed(events, "ann"))
	stored(t, folder, "other", renamed(other.whole(), "bea"))
	late := renamed(events, "cal")
	for i := range late[1:] {
		late[i+1].T += 0.4
	}
	stored(t, folder, "late", late)
	rows := classOf(t, folder)
	assert.Empty(t, rows["other"].Flags)
	assert.Contains(t, strings.Join(rows["late"].Flags, "; "), "the hands moved as in one.jsonl")
	assert.Contains(t, strings.Join(rows["one"].Flags, "; "), "the hands moved as in late.jsonl")
}

// Who works on the own bench of somebody else is named.
func TestOwnBenchOfAnother(t *testing.T) {
	folder := t.TempDir()
	mine := newHonest(t, "no-coach", practice.OwnSeed("dora"), 2, 0)
	stored(t, folder, "dora", renamed(mine.whole(), "dora"))
	theirs := newHonest(t, "no-coach", practice.OwnSeed("dora"), 4, 0)
	theirs.r = rand.New(rand.NewPCG(9, 9))
	stored(t, folder, "emil", renamed(theirs.whole(), "emil"))
	rows := classOf(t, folder)
	assert.Empty(t, rows["dora"].Flags)
	assert.Contains(t, strings.Join(rows["emil"].Flags, "; "), "on the own bench of dora")
}

// What is put on record while drops fall, such as what the coach thinks of them, does not
// change when they fell: an honest run was flagged for it, and judged by another course.
func TestRecordsWhileDropsFall(t *testing.T) {
	h := newHonest(t, "no-coach", 31, 4, 0)
	h.wait(30)
	setup, err := h.e.Setup()
	require.NoError(t, err)
	const drops = 80
	p, err := h.plate.Begin(setup.Stocks[1].Name, drops)
	require.NoError(t, err)
	for fallen, next := 0.0, h.now; ; h.tick() {
		h.b.Advance(h.now)
		for ; fallen < drops && h.now >= next; next += 0.6 {
			if p.Fall(1.0 / drops); fallen == drops-10 {
				h.log(journal.Event{Kind: journal.Advised, Advice: &journal.Advice{Do: "wait"}})
			}
			fallen++
		}
		if fallen >= drops {
			break
		}
	}
	h.log(journal.Event{Kind: journal.Added, Added: &journal.Addition{Titrant: setup.Stocks[1].Name, Drops: drops, ML: drops * 0.05}})
	h.wait(20)
	h.log(journal.Event{Kind: journal.Ended, End: &journal.End{Outcome: "done"}})
	r, err := replaytest.Of(h.events)
	require.NoError(t, err)
	share, err := practice.Genuine(r)
	require.NoError(t, err)
	assert.Greater(t, share, 0.97)
}

// Drops that were counted with Space and put on record minutes later, or one every three
// seconds, fell when they were counted: a pupil who was called away with five of 55 in was
// told that only 44 % of the readings are those of the bench.
func TestDropsPutOnRecordLate(t *testing.T) {
	for _, c := range []struct {
		drops, every, pause float64
	}{{5, 0.7, 240}, {1, 0, 240}, {24, 3, 0}} {
		h := newHonest(t, "no-coach", 31, 1, 0)
		h.wait(30)
		setup, err := h.e.Setup()
		require.NoError(t, err)
		name, from := setup.Stocks[0].Name, h.now
		for range int(c.drops) {
			h.b.Advance(h.now)
			p, err := h.plate.Begin(name, 1)
			require.NoError(t, err)
			p.Fall(1)
			h.wait(c.every)
		}
		h.wait(c.pause)
		h.log(journal.Event{Kind: journal.Added, Added: &journal.Addition{Titrant: name, Drops: c.drops, ML: c.drops * 0.05, From: &from}})
		h.wait(60)
		h.log(journal.Event{Kind: journal.Ended, End: &journal.End{Outcome: "done"}})
		r, err := replaytest.Of(h.events)
		require.NoError(t, err)
		share, err := practice.Genuine(r)
		require.NoError(t, err)
		assert.Greater(t, share, 0.97, "%v", c)
	}
}
