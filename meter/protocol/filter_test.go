package protocol_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/protocol"
	"example.org/halfdrop/meter/protocol/protocoltest"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/trial"
	"github.com/stretchr/testify/require"
)

// driven is what came of one bench driven through the line protocol.
type driven struct {
	in, over bool
	adds     int
	seconds  float64
	last     protocol.Reply
	checks   []string
}

// driveFilter is a person who does as the coach says, on a simulated bench.
func driveFilter(t *testing.T, plan recipe.Plan, setup *recipe.Setup, truth sim.Truth, story bool) driven {
	t.Helper()
	b, err := sim.New(setup, truth)
	require.NoError(t, err)
	f := protocoltest.Start(t, plan, "")
	defer f.Close()
	var d driven
	up := 0.0
	for s := 1.0; s < 1800 && d.adds < 60; s++ {
		b.Advance(s)
		r := b.Sample()
		a := f.Say(fmt.Sprintf(`{"t":%g,"ph":%.*f,"temp_c":%.1f}`, s, r.Decimals, r.Value, r.TempC))
		require.Empty(t, a.Error)
		d.seconds, d.last = s, a
		if up == 0 && a.Aim != nil {
			up = math.Copysign(1, *a.Aim-b.True())
		}
		if story {
			t.Logf("%4.0f s shown %.3f true %.3f aim %.3f %s %s %g %s", s, r.Value, b.True(), *a.Aim, a.Do, a.Titrant, a.Drops, a.Why)
		}
		switch a.Do {
		case "stop":
			d.in = math.Abs(b.MadeUp()-setup.Target) <= setup.Tolerance+0.005
			return d
		case "check":
			d.checks = append(d.checks, a.Why)
			if len(d.checks) > 3 {
				return d
			}
			f.Say(fmt.Sprintf(`{"t":%g,"confirm":true}`, s))
		case "add":
			require.NoError(t, b.Dispense(a.Titrant, a.Drops, 0))
			require.Empty(t, f.Say(fmt.Sprintf(`{"t":%g,"added":{"titrant":%q,"drops":%g}}`, s, a.Titrant, a.Drops)).Error)
			d.adds++
			if up*(b.True()-*a.Aim) > setup.Tolerance+0.005 {
				d.over = true
			}
		}
	}
	return d
}

// TestRandomBenchesThroughTheFilter drives random benches second by second
// through the line protocol. HALFDROP_RUNS sets how many; the bounds are those
// of many more runs with room for chance.
func TestRandomBenchesThroughTheFilter(t *testing.T) {
	runs := 10
	if n, err := strconv.Atoi(os.Getenv("HALFDROP_RUNS")); err == nil {
		runs = n
	}
	var in, over, adds int
	for seed := range runs {
		b, err := trial.Draw(trial.Ordinary, uint64(seed+1))
		require.NoError(t, err)
		setup, err := recipe.Compile(b.Plan)
		require.NoError(t, err)
		d := driveFilter(t, b.Plan, setup, b.Truth, false)
		if d.in {
			in++
		}
		if d.over {
			over++
		}
		adds += d.adds
		if !d.in || d.over {
			t.Logf("seed %d: in tolerance %v, overshot %v, %d additions, %.0f s, last %s %s", seed+1, d.in, d.over, d.adds, d.seconds, d.last.Do, d.last.Why)
		}
	}
	mean := float64(adds) / float64(runs)
	t.Logf("%d runs: %d in tolerance, %d overshot, %.2f additions on average", runs, in, over, mean)
	require.GreaterOrEqual(t, in, runs-max(1, runs/50))
	require.LessOrEqual(t, over, max(1, runs/50))
	require.LessOrEqual(t, mean, 4.0)
}

func TestFilterAnswersEveryLine(t *testing.T) {
	f := protocoltest.Start(t, protocoltest.Demo(t), filepath.Join(t.TempDir(), "run.jsonl"))
	for _, c := range []struct{ line, want string }{
		{`{"t":1,"ph":4.5,"temp_c":21.0}`, ""},
		{`nonsense`, "not a line of the protocol"},
		{`{"t":2}`, "one of"},
		{`{"ph":7}`, `no "t"`},
		{`{"t":0.5,"ph":7}`, "backwards"},
		{`{"t":3,"ph":7,"undo":true}`, `a line says one thing, and this one has "ph" and "undo"`},
		{`{"t":3,"temp_c":21}`, `alone it needs "typed":true`},
		{`{"t":1e400,"ph":7}`, "t cannot be 1e400"},
		{`{"t":3,"undo":true}`, "no addition"},
		{`{"t":3,"undo":1}`, "must be true, not"},
		{`{"t":3,"added":{"titrant":"KOH","drops":3}}`, `"KOH"; "titrant" is one of "NaOH 1 M", "NaOH 0.1 M", `},
		{`{"t":3,"added":{"titrant":"NaOH 1 M"}}`, `"drops" or "ml"`},
		{`{"t":3,"added":{"titrant":"NaOH 1 M","drops":-3}}`, "above zero"},
		{`{"t":3,"added":{"titrant":"NaOH 1 M","drops":3,"ml":1}}`, "not both"},
		{`{"t":3,"added":{"titrant":"NaOH 1 M","drops":3}} {"t":4}`, "more than one"},
		{`{"t":1e12,"ph":7}`, "not a time"},
		{`{"t":3,"ph":1e999}`, "not a number"},
		{``, "empty"},
		{`{"t":4,"added":{"titrant":"NaOH 1 M","drops":3}}`, ""},
		{`{"t":5,"undo":true}`, ""},
		{`{"t":6,"confirm":true}`, ""},
		{`{"t":7,"mv":120.5}`, ""},
		{`{"t":8,"dosing":true}`, "nothing is ordered"},
		{`{"t":8,"declined":true}`, "nothing is ordered"},
		{`{"t":8,"dosing":"now"}`, "must be true, not"},
		{`{"t":8,"added":{"titrant":"NaOH 1 M","drops":99999}}`, "there is room for 50"},
		{`{"t":8,"added":{"titrant":"NaOH 1 M","ml":100}}`, "mL is accepted without a question"},
		{`{"t":8,"added":{"titrant":"NaOH 1 M","ml":100}}`, `more with "sure":true`},
		{`{"t":8,"added":{"titrant":"NaOH 1 M","drops":3,"from":9}}`, "not between 0 and 8"},
		{`{"t":8,"confirm":"half"}`, "no check"},
		{`{"t":8,"confirm":7}`, "must be true, not"},
		{`{"t":8,"bottle":{"name":"NaOH 1 M","reagent":"NaOH","molar":1}}`, "used twice"},
		{`{"t":8,"bottle":{"name":"x","reagent":"NaOH","molar":1,"colour":"blue"}}`, "colour"},
		{`{"t":8,"bottle":{"name":"x","reagent":"NaOH"}}`, "molar is missing"},
		{`{"t":8,"bottle":{"name":"KOH 0.5 M","reagent":"KOH","molar":0.5,"drop_ul":40}}`, ""},
		{`{"t":9,"added":{"titrant":"KOH 0.5 M","drops":2,"from":8.5}}`, ""},
		{`{"t":9,"immersed":true}`, ""},
		{`{"t":9,"ph":5,"immersed":true}`, "one thing"},
		{`{"t":9,"added":{"titrant":"NaOH 1 M","ml":100,"sure":true}}`, ""},
	} {
		r := f.Say(c.line)
		if c.want == "" {
			require.Empty(t, r.Error, c.line)
			require.NotEmpty(t, r.Do, c.line)
			continue
		}
		require.Contains(t, r.Error, c.want, c.line)
	}
	f.Close()
}

// A key that the protocol does not know is named, and the rest of the line counts.
func TestFilterNamesWhatItDoesNotKnow(t *testing.T) {
	f := protocoltest.Start(t, protocoltest.Demo(t), "")
	r := f.Say(`{"t":1,"ph":4.5,"temperature":21.0,"Temp_C":21,"a":1}`)
	require.Empty(t, r.Error)
	require.Equal(t, []string{"a", "temperature"}, r.Unknown)
	require.Empty(t, f.Say(`{"t":2,"ph":4.5}`).Unknown)
	r = f.Say(`{"t":3,"pH7":4.5}`)
	require.Equal(t, []string{"pH7"}, r.Unknown)
	require.NotEmpty(t, r.Error)
	f.Close()
}

// ordered is a simulated bench that is read second by second, up to its first order.
type ordered struct {
	*protocoltest.Session
	b     *sim.Bench
	s     float64
	order protocol.Reply
}

func untilOrdered(t *testing.T, journalPath string) *ordered {
	t.Helper()
	plan := protocoltest.Demo(t)
	setup, err := recipe.Compile(plan)
	require.NoError(t, err)
	b, err := sim.New(setup, sim.DefaultTruth(setup, 7))
	require.NoError(t, err)
	o := &ordered{Session: protocoltest.Start(t, plan, journalPath), b: b}
	for o.order = o.second(); o.order.Do != "add"; o.order = o.second() {
		require.Less(t, o.s, 120.0)
	}
	return o
}

func (o *ordered) second() protocol.Reply {
	o.s++
	o.b.Advance(o.s)
	r := o.b.Sample()
	return o.Say(fmt.Sprintf(`{"t":%g,"ph":%.*f}`, o.s, r.Decimals, r.Value))
}

// What was ordered stands while its drops fall, is asked about when nobody says
// so, and is recorded from its first movement on.
func TestFilterAsksWhetherItWasGiven(t *testing.T) {
	journalPath := filepath.Join(t.TempDir(), "run.jsonl")
	f := untilOrdered(t, journalPath)
	order := f.order
	require.Empty(t, f.Say(fmt.Sprintf(`{"t":%g,"dosing":true}`, f.s)).Error)
	began := f.s
	var a protocol.Reply
	for left := order.Drops; left > 0; left-- {
		require.NoError(t, f.b.Dispense(order.Titrant, 1, 0))
		a = f.second()
		require.Equal(t, []any{"add", "dosing", order.Titrant, order.Drops}, []any{a.Do, a.Reason, a.Titrant, a.Drops})
	}
	for a.Reason != "given" {
		require.Less(t, f.s, began+order.Drops+180)
		a = f.second()
	}
	require.Equal(t, []any{"check", order.Titrant, order.Drops}, []any{a.Do, a.Titrant, a.Drops})
	require.Contains(t, a.Codes, "given")
	require.Zero(t, a.Like, "it moved as the order would")
	require.Empty(t, f.Say(fmt.Sprintf(`{"t":%g,"added":{"titrant":%q,"drops":%g}}`, f.s, order.Titrant, order.Drops)).Error)
	f.Close()
	var from *float64
	_, err := journal.ScanFile(journalPath, func(e journal.Event) error {
		if e.Kind == journal.Added {
			from = e.Added.From
		}
		return nil
	})
	require.NoError(t, err)
	require.NotNil(t, from)
	require.InDelta(t, began, *from, 1.5)
}

func TestFilterNeverDosesOnWhatCannotBeAPH(t *testing.T) {
	f := protocoltest.Start(t, protocoltest.Demo(t), "")
	defer f.Close()
	for s := 1; s < 40; s++ {
		f.Say(fmt.Sprintf(`{"t":%d,"ph":4.50}`, s))
	}
	require.Equal(t, "add", f.Say(`{"t":40,"ph":4.50}`).Do)
	r := f.Say(`{"t":41,"ph":77}`)
	require.Equal(t, "wait", r.Do)
	require.Equal(t, "faulty", r.Reason)
}

// A bottle six times as strong as its label goes past the aim while the drops fall: no more of
// it is asked for.
func TestFilterSaysNoMore(t *testing.T) {
	f := untilOrdered(t, filepath.Join(t.TempDir(), "run.jsonl"))
	order := f.order
	var a protocol.Reply
	fallen := 0.0
	for ; fallen < order.Drops && !a.NoMore; fallen++ {
		require.NoError(t, f.b.Dispense(order.Titrant, 6, 0))
		a = f.second()
	}
	for range 20 {
		if a.NoMore {
			break
		}
		a = f.second()
	}
	require.Equal(t, []any{"check", "given", order.Titrant, true}, []any{a.Do, a.Reason, a.Titrant, a.NoMore}, "%s", a.Why)
	require.Contains(t, a.Why, "past the aim")
	f.Close()
}

// A program that knows its meter to send only what changes says so each second: nothing waits for
// a line that does not come.
func TestFilterTakesTheSameAgain(t *testing.T) {
	f := protocoltest.Start(t, protocoltest.Demo(t), "")
	defer f.Close()
	require.Contains(t, f.Say(`{"t":0,"same":true}`).Error, "before a reading")
	var a protocol.Reply
	for i := range 60 {
		line := fmt.Sprintf(`{"t":%d,"same":true}`, i+1)
		if i < 12 {
			line = fmt.Sprintf(`{"t":%d,"ph":%.2f}`, i+1, 4.60-0.2*math.Exp(-float64(i)/3))
		}
		a = f.Say(line)
		require.Empty(t, a.Error)
		if a.Do == "add" {
			break
		}
	}
	require.Equal(t, "add", a.Do, a.Why)
	require.InDelta(t, 4.60, *a.PH, 0.011)
}

// One that only passes the lines of such a meter on is heard between them, once the meter is known
// for what it is; what was not sent is marked in the journal.
func TestFilterKnowsAMeterThatSendsOnlyWhatChanges(t *testing.T) {
	path := filepath.Join(t.TempDir(), "run.jsonl")
	f := protocoltest.Start(t, protocoltest.Demo(t), path)
	last := ""
	for i := range 30 {
		if y := fmt.Sprintf("%.2f", 4.60-0.4*math.Exp(-float64(i)/5)); y != last {
			last = y
			require.Equal(t, "wait", f.Say(fmt.Sprintf(`{"t":%d,"ph":%s}`, i+1, y)).Do)
		}
	}
	require.Equal(t, "add", f.Say(`{"t":70,"ph":4.61}`).Do)
	f.Close()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	require.InDelta(t, (70-23)/4, strings.Count(string(text), `"same":true`), 2, "each four seconds since 23 s")
}
