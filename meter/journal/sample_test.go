package journal_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
)

// errFull is what the faulty sinks answer.
var errFull = errors.New("no room left")

// memory is a Sink that remembers what a power cut would leave, and fails when
// it is told to.
type memory struct {
	data    []byte
	onDisk  int // bytes that have been synced
	room    int // bytes that fit in all; 0 for no limit
	failCut bool
	failSyn bool
	syncs   int
}

func (m *memory) Write(b []byte) (int, error) {
	n := len(b)
	if m.room > 0 {
		n = max(min(n, m.room-len(m.data)), 0)
	}
	m.data = append(m.data, b[:n]...)
	if n < len(b) {
		return n, errFull
	}
	return n, nil
}

func (m *memory) Sync() error {
	if m.failSyn {
		return errFull
	}
	m.syncs++
	m.onDisk = len(m.data)
	return nil
}

func (m *memory) Truncate(size int64) error {
	if m.failCut {
		return errFull
	}
	m.data = m.data[:size]
	m.onDisk = min(m.onDisk, int(size))
	return nil
}

var (
	zone = time.FixedZone("", 3600)
	dawn = time.Date(2026, 11, 25, 14, 15, 3, 0, zone)
)

func p(v float64) *float64 { return &v }

func event(k journal.Kind, t float64) journal.Event {
	return journal.Event{Kind: k, T: t, At: dawn.Add(time.Duration(t * float64(time.Second)))}
}

func start() journal.Event {
	e := event(journal.Started, 0)
	e.Start = &journal.Start{
		Format: journal.Format, Program: "halfdrop test", Operator: "bench 4",
		Plan: json.RawMessage(`{"name": "HEPES 25 mM", "target": {"ph": 7.4}}`), Source: "sim",
	}
	return e
}

func reading(t, ph float64) journal.Event {
	e := event(journal.Read, t)
	e.Reading = &journal.Reading{PH: p(ph), TempC: p(21.5), Decimals: 2, Flags: []string{"stable"}}
	e.Raw = "pH 7.02 21.5 C <&>"
	return e
}

func added(t, drops float64) journal.Event {
	e := event(journal.Added, t)
	e.Added = &journal.Addition{Titrant: "NaOH 1 M", Drops: drops, ML: drops * 0.05}
	return e
}

// oneOfEach is a short run with every kind of event in it.
func oneOfEach() []journal.Event {
	bad := event(journal.BadLine, 2)
	bad.Raw = "pH 7.\xff\xfe\t\"x\"\\"
	link := event(journal.LinkChange, 3)
	link.Link = &journal.Link{State: "stale", Note: "3 s without a line"}
	undo := event(journal.Undone, 5)
	undo.Undo = &journal.Undo{Seq: 5, Reason: "pressed twice"}
	correct := event(journal.Corrected, 6)
	correct.Correct = &journal.Correction{Seq: 6, To: journal.Addition{Titrant: "NaOH 1 M", Drops: 7, ML: 0.35}}
	advice := event(journal.Advised, 7)
	advice.Advice = &journal.Advice{Do: "add", PH: 6.12, Settled: true, Aim: 7.19, Titrant: "NaOH 1 M",
		Drops: 6, ML: 0.3, PHAfter: 6.41, PHLow: 6.37, PHHigh: 6.46, Reason: "step", Why: "the largest safe step"}
	cal := event(journal.Calibrated, 8)
	cal.Calibration = json.RawMessage(`{"slope_pct": 98.7}`)
	note := event(journal.Remarked, 9)
	note.Remark = &journal.Remark{Text: "stirrer was off – µL ≠ mL"}
	gap := event(journal.Gap, 2500)
	gap.Gap = &journal.GapPayload{Seconds: 2490}
	end := event(journal.Ended, 2501)
	end.End = &journal.End{Outcome: "in tolerance"}
	return []journal.Event{start(), reading(1, 7.02), bad, link, added(4, 6), added(4.5, 6), undo, correct,
		advice, event(journal.Confirmed, 7.5), cal, note, gap, end}
}

// write puts events into a journal in memory and returns its bytes.
func write(t testing.TB, events []journal.Event) []byte {
	t.Helper()
	m := &memory{}
	w := journal.NewWriter(m)
	for i := range events {
		require.NoError(t, w.Append(&events[i]))
	}
	require.NoError(t, w.Close())
	return m.data
}

// scan returns the events of a journal with its tail.
func scan(data []byte) ([]journal.Event, journal.Tail, error) {
	var got []journal.Event
	tail, err := journal.Scan(bytes.NewReader(data), func(e journal.Event) error {
		got = append(got, e)
		return nil
	})
	return got, tail, err
}

func onFile(t testing.TB, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "run.jsonl")
	require.NoError(t, os.WriteFile(path, data, 0o644))
	return path
}

// text is an event as it would be written, to compare by.
func text(t testing.TB, e journal.Event) string {
	t.Helper()
	b, err := json.Marshal(e)
	require.NoError(t, err)
	return string(b)
}

var _ io.Writer = (*memory)(nil)
