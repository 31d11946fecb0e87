//go:build unix

package main

import (
	"fmt"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/serial/serialtest"
)

// faultRow is one fault of the line: what happens on it, what a person sees,
// and what stands in the journal. While it lasts no addition is advised, unless
// goesOn says that the readings between are sound; when it is over the run goes
// on by itself.
type faultRow struct {
	name   string
	query  string                            // the meter is asked, instead of sending by itself
	first  func(m *serialtest.Meter)         // before the program opens the port
	fault  func(t *testing.T, b *faultBench) // makes it happen
	lasts  time.Duration                     // how long it is watched
	grace  time.Duration                     // until which the advice of a sound reading may stand
	words  []string                          // on the screen of 80 by 24, blanks apart
	never  []string                          // and not there: the readings after it make up for it
	event  func(e journal.Event) bool        // in the journal
	mend   func(t *testing.T, b *faultBench) // nil when there is nothing to mend
	idle   time.Duration                     // by which a machine that is later need not show the event; 0 for never
	goesOn bool
	slow   bool // it is the coach that waits, and no clock of the line: both run by the quick clock
}

// bad, link and refused find the event of a fault.
func bad(raw, why string) func(journal.Event) bool {
	return func(e journal.Event) bool {
		return e.Kind == journal.BadLine && strings.Contains(e.Raw, raw) && strings.Contains(e.Why, why)
	}
}

func linked(state, note string) func(journal.Event) bool {
	return func(e journal.Event) bool {
		return e.Kind == journal.LinkChange && e.Link.State == state && strings.Contains(e.Link.Note, note)
	}
}

func either(a, b func(journal.Event) bool) func(journal.Event) bool {
	return func(e journal.Event) bool { return a(e) || b(e) }
}

func refused(words string) func(journal.Event) bool {
	return func(e journal.Event) bool {
		return e.Kind == journal.Read && strings.Contains(e.Reading.Refused, words)
	}
}

func advised(do, reason string) func(journal.Event) bool {
	return func(e journal.Event) bool {
		return e.Kind == journal.Advised && e.Advice.Do == do && e.Advice.Reason == reason
	}
}

// always sends one line for ever; between sends it in turn with sound ones.
func always(line string) func(*testing.T, *faultBench) {
	return func(_ *testing.T, b *faultBench) { b.meter.Stream(b.every, func() string { return line }) }
}

func among(every int, damage func(line string) string) func(*testing.T, *faultBench) {
	return func(_ *testing.T, b *faultBench) {
		n := 0
		b.meter.Stream(b.every, func() string {
			if n++; n%every == 0 {
				return damage(b.steady())
			}
			return b.steady()
		})
	}
}

var faultRows = []faultRow{
	{
		name:  "partial first line",
		first: func(m *serialtest.Meter) { m.Stream(20*time.Millisecond, byTurns("pH 4.", "40 21.0 C\r\n")) },
		fault: func(_ *testing.T, b *faultBench) {}, lasts: time.Second, goesOn: true,
		never: []string{"the beginning of the line may be missing"},
		// On a busy machine the halves come so far apart that the line is known to begin, or is waited for.
		event: either(bad("", "the beginning of the line may be missing"), linked("quiet", "no line ends")), idle: 150 * time.Millisecond,
	},
	{
		name: "echo", query: `READ?\r\n`,
		first: func(m *serialtest.Meter) {
			m.Answer(func(q string) string { return q + "\r\npH 4.40 21.0 C\r\n" })
		},
		fault: func(_ *testing.T, b *faultBench) {}, lasts: time.Second, goesOn: true,
		never: []string{"an echo of the question"},
		event: bad("READ?", "echo"),
	},
	{
		name:  "garbage from a wrong speed",
		fault: func(_ *testing.T, b *faultBench) { b.meter.Speak(1200) }, lasts: 7 * time.Second, grace: 3500 * time.Millisecond,
		words: []string{"what arrives is not text; the meter is probably not set to 9600 8N1. Try --port auto", "WAIT the meter's lines cannot be read"},
		event: linked("quiet", "not text; the meter is probably not set to 9600 8N1"),
		mend:  func(_ *testing.T, b *faultBench) { b.meter.Speak(9600) },
	},
	{
		name: "stuck value after an addition",
		fault: func(t *testing.T, b *faultBench) {
			b.meter.Stream(b.every, func() string { return "pH 4.40 21.0 C\r\n" })
			b.follow(t)
		}, lasts: 30 * time.Second, grace: 4 * time.Second, slow: true,
		words: []string{"CHECK the reading does not move", "did the drops fall in"},
		event: advised("check", "stuck"),
		mend:  func(_ *testing.T, b *faultBench) { b.press("u1") },
	},
	{
		name: "value frozen on its way",
		fault: func(t *testing.T, b *faultBench) {
			var ph atomic.Int64
			ph.Store(4400)
			b.meter.Stream(b.every, func() string {
				if ph.Load() < 5400 {
					ph.Add(25)
				}
				return fmt.Sprintf("pH %.2f 21.0 C\r\n", float64(ph.Load())/1000)
			})
			b.follow(t)
		}, lasts: 24 * time.Second, grace: 4 * time.Second, slow: true,
		words: []string{"CHECK the reading does not move, and should", "is the meter on hold"},
		event: advised("check", "stuck"),
		mend: func(_ *testing.T, b *faultBench) {
			b.press("u1")
			b.sound()
		},
	},
	{
		name:  "impossible jump, not confirmed",
		fault: among(12, func(string) string { return "pH 14.20 21.0 C\r\n" }), lasts: 4 * time.Second, goesOn: true,
		words: []string{"not used: “pH 14.20 21.0 C”: a jump, not confirmed yet: 14.2 after 4."},
		event: bad("14.20", "not confirmed yet"),
		mend:  sound,
	},
	{
		name: "electrode out of the beaker",
		fault: func(t *testing.T, b *faultBench) {
			b.follow(t)
			b.at.Store(663)
			b.awaitWords(t, "ADD")
			b.seen.watch(20 * time.Second / quick)
			b.at.Store(510)
		}, lasts: 15 * time.Second, grace: 6 * time.Second, slow: true, // three readings of a second each are no wild ones
		words: []string{"GIVEN?", "the wrong way, to 5."},
		event: advised("check", "given"),
		mend:  func(_ *testing.T, b *faultBench) { b.at.Store(663) },
	},
	{
		name: "NaN", fault: always("pH NaN 21.0 C\r\n"), lasts: 6 * time.Second, grace: time.Second,
		words: []string{"WAIT the reading cannot be used", "the meter shows no value"},
		event: bad("pH NaN", "the meter shows no value"), mend: sound,
	},
	{
		name: "over range", fault: always("pH over 21.0 C\r\n"), lasts: 6 * time.Second, grace: time.Second,
		words: []string{"WAIT the reading cannot be used", "it is over range: is the electrode in the beaker, and its plug home?"},
		event: refused("over range"), mend: sound,
	},
	{
		name: "no probe", fault: always("pH no probe 21.0 C\r\n"), lasts: 6 * time.Second, grace: time.Second,
		words: []string{"WAIT the reading cannot be used"},
		event: func(e journal.Event) bool { return refused("no electrode")(e) || bad("no probe", "")(e) }, mend: sound,
	},
	{
		name: "temperature missing", fault: always("pH 4.40\r\n"), lasts: 16 * time.Second, goesOn: true,
		words: []string{"in another form than the lines before", "no temperature of use comes from the meter now; 21.0 °C is kept"},
		event: bad("pH 4.40", "in another form"), mend: sound,
	},
	{
		name: "temperature absurd", fault: always("pH 4.40 -127.0 C\r\n"), lasts: 6 * time.Second, grace: time.Second,
		words: []string{"WAIT the reading cannot be used", "an impossible temperature", "plug of its temperature probe"},
		event: refused("temperature"), mend: sound,
	},
	{
		name:  "adapter pulled and plugged in again",
		fault: func(t *testing.T, b *faultBench) { assert.NoError(t, b.meter.Cut()) }, lasts: 5 * time.Second, grace: time.Second,
		words: []string{"meter disconnected", "the adapter is gone: plug it in again; the line is resumed automatically"},
		event: linked("lost", "is gone"),
		mend:  func(t *testing.T, b *faultBench) { assert.NoError(t, b.meter.Restore()) },
	},
	{
		name:  "meter silent",
		fault: func(_ *testing.T, b *faultBench) { b.meter.Silence() }, lasts: 6 * time.Second, grace: 3500 * time.Millisecond,
		words: []string{"no signal", "nothing arrives from the meter. Is it on, and does it send by itself?"},
		event: linked("quiet", "nothing arrives"), mend: sound,
	},
	{
		name:  "another program takes its share of the bytes",
		fault: among(3, func(l string) string { return l[:5] + "\r\n" }), lasts: 7 * time.Second, goesOn: true,
		words: []string{"of 32 lines arrive damaged: a loose plug, or another program on the port?"},
		event: linked("live", "another program on the port"), mend: sound,
	},
	{
		name: "second program on the port", lasts: time.Second, goesOn: true,
		fault: func(t *testing.T, b *faultBench) {
			c := program(t, "titrate", "--port", b.meter.Path(), "--plan", b.plan, "--journal", b.journal+".2", "--plain")
			said, err := c.CombinedOutput()
			assert.Error(t, err)
			assert.Contains(t, string(said), "port is in use by another program")
			assert.Contains(t, string(said), "close the other program that uses the port")
		},
		words: []string{"meter live"}, event: linked("live", "readings come from"),
	},
}

func sound(_ *testing.T, b *faultBench) { b.sound() }

// byTurns gives two texts in turn.
func byTurns(a, b string) func() string {
	n := 0
	return func() string {
		if n++; n%2 == 1 {
			return a
		}
		return b
	}
}

// TestFaultTable shows every fault of the line to the real program on a real
// pseudo-terminal, with a terminal of 80 by 24 in front of it.
func TestFaultTable(t *testing.T) {
	if testing.Short() {
		t.Skip("NOT RUN with -short: the faults of the line were not tried on a run, which takes half a minute of real time")
	}
	t.Parallel() // it mostly waits
	var wg sync.WaitGroup
	for _, row := range faultRows {
		wg.Go(func() { t.Run(row.name, row.test) }) // at once, whatever -parallel says: they mostly wait
	}
	wg.Wait()
}

func (row faultRow) test(t *testing.T) {
	b := newFaultBench(t, row)
	fault := 0.0
	defer func() {
		if t.Failed() {
			b.tell(t, fault)
		}
	}()
	b.awaitWords(t, "ADD")
	fault = b.last()
	row.fault(t, b)
	b.seen.mark()
	began := time.Now()
	if row.slow {
		row.lasts, row.grace = row.lasts/quick, row.grace/quick
	}
	b.seen.watch(row.lasts)
	for end := time.Now().Add(patience); !b.seen.hadAll(row.words) && time.Now().Before(end); {
		b.seen.watch(100 * time.Millisecond) // a busy machine shows it later
	}
	since := began.Add(row.grace)
	if b.seen.late > time.Second && len(row.words) > 0 { // nor can it take back in time what it has not heard of
		if first := b.seen.first(row.words[0]); first.After(since) {
			since = first
		}
	}
	for _, w := range row.words {
		assert.True(t, b.seen.had(w), "the screen does not say %q; it says\n%s", w, b.seen.now())
	}
	for _, w := range row.never {
		says := b.seen.had(w)
		if row.idle > 0 && b.seen.late > row.idle { // it stood there for a moment, until the next line came
			says = strings.Contains(b.seen.now(), w)
		}
		assert.False(t, says, "the screen says %q", w)
	}
	if !row.goesOn {
		assert.False(t, b.seen.advisedAfter(since), "an addition was advised on a fault")
	}
	if row.mend != nil {
		row.mend(t, b)
	}
	b.awaitWords(t, "ADD")
	b.close(t)
	found := false
	for _, e := range b.events(t) {
		found = found || row.event(e)
	}
	if !found && row.idle > 0 && b.seen.late > row.idle {
		t.Logf("the journal does not hold the fault, on a machine that was %v late", b.seen.late)
		return
	}
	assert.True(t, found, "the journal does not hold the fault")
}
