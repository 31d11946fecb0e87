package trial_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/trial"
)

func strategies(t testing.TB, list string) []trial.Strategy {
	t.Helper()
	s, err := trial.ParseStrategies(list)
	require.NoError(t, err)
	return s
}

func play(t testing.TB, o trial.Options) trial.Table {
	t.Helper()
	table, err := trial.Run(context.Background(), o)
	require.NoError(t, err)
	require.Equal(t, o.Runs, table.Runs)
	return table
}

// The bounds are modest; the figures to aim at are higher and measured with
// halfdrop trial over a thousand runs.
func TestRunsOfAdvice(t *testing.T) {
	runs := 30
	if n, err := strconv.Atoi(os.Getenv("HALFDROP_RUNS")); err == nil {
		runs = n
	}
	table := play(t, trial.Options{Runs: runs, Tier: trial.Ordinary, Seed: 20000, Strategies: strategies(t, "coach"), Workers: 2})
	var text bytes.Buffer
	require.NoError(t, table.WriteText(&text))
	table.WriteFailures(&text, 20)
	t.Log("\n" + text.String())
	coach := table.Rows[0]
	one := 1 / float64(runs)
	assert.GreaterOrEqual(t, coach.In, 1-max(0.03, one))
	assert.LessOrEqual(t, coach.Over, max(0.02, one))
	assert.LessOrEqual(t, coach.Adds.Mean, 3.6)
}

func TestSameTableWhateverTheWorkers(t *testing.T) {
	o := trial.Options{Runs: 2, Tier: trial.Ordinary, Seed: 5, Strategies: strategies(t, "coach,limit"), Workers: 1}
	one := play(t, o)
	o.Workers = 3
	three := play(t, o)
	var a, b bytes.Buffer
	require.NoError(t, one.WriteJSON(&a))
	require.NoError(t, three.WriteJSON(&b))
	assert.Equal(t, a.String(), b.String())
}

func TestSeedsCountOn(t *testing.T) {
	o := trial.Options{Runs: 12, Tier: trial.Harsh, Seed: 5, Strategies: strategies(t, "most,limit"), Workers: 2}
	one := play(t, o)
	o.Seed++
	next := play(t, o)
	for j := range o.Strategies {
		assert.Equal(t, one.Rows[j].Outcomes[1:], next.Rows[j].Outcomes[:11])
	}
}

func TestBenchesAreThoseStated(t *testing.T) {
	systems, mistakes := map[string]bool{}, map[trial.Gross]int{}
	const n = 600
	for seed := range uint64(n) {
		for _, tier := range []trial.Tier{trial.Ordinary, trial.Harsh} {
			b, err := trial.Draw(tier, seed)
			require.NoError(t, err)
			systems[b.System] = true
			if tier == trial.Harsh {
				mistakes[b.Gross]++
			} else {
				assert.Equal(t, trial.Sound, b.Gross)
			}
			inRange(t, b)
		}
	}
	assert.GreaterOrEqual(t, len(systems), 14)
	assert.InDelta(t, 0.5, float64(mistakes[trial.Sound])/n, 0.06, "half of the harsh benches are sound")
	for g := trial.WeakStock; g <= trial.OtherSalt; g++ {
		assert.Greater(t, mistakes[g], n/40, g.String())
	}
}

func inRange(t *testing.T, b *trial.Bench) {
	t.Helper()
	s := b.Setup
	conc := s.Weighed[0].Amount.In(s.Final)
	assert.True(t, conc > 0.0049 && conc < 0.51, "seed %d: %g M", b.Seed, float64(conc))
	assert.True(t, s.Final.Millilitres() >= 50 && s.Final.Millilitres() <= 1000, "seed %d", b.Seed)
	assert.True(t, s.Target >= 3 && s.Target <= 11, "seed %d", b.Seed)
	assert.True(t, b.Drops >= 15 && b.Drops <= 200, "seed %d", b.Seed)
	assert.InEpsilon(t, 10, float64(s.Stocks[0].Molar/s.Stocks[1].Molar), 0.01, "seed %d", b.Seed)
	assert.NotEqual(t, s.Stocks[0].Reagent.Name, s.Stocks[2].Reagent.Name, "seed %d", b.Seed)
	assert.Nil(t, b.Plan.Titrants[0].DropSDPct, "the plan does not give spreads away")
}

// With no errors in the truth, the dose of the plan leads to the target: plan
// and bench agree on what a drop does.
func TestPlanLeadsToTheTargetOnAPerfectBench(t *testing.T) {
	for seed := range uint64(100) {
		b, err := trial.Draw(trial.Ordinary, seed)
		require.NoError(t, err)
		s, err := sim.New(b.Setup, sim.Truth{Temp: b.Setup.BenchTemp, Decimals: 3})
		require.NoError(t, err)
		require.NoError(t, s.Dispense(b.Setup.Stocks[0].Name, b.Drops, 0))
		assert.InDelta(t, b.Setup.Target, s.MadeUp(), 0.002, "seed %d, %s", seed, b.System)
	}
}

func TestWhoKnowsEverythingReachesTheTarget(t *testing.T) {
	for _, tier := range []trial.Tier{trial.Ordinary, trial.Harsh} {
		row := play(t, trial.Options{Runs: 300, Tier: tier, Seed: 1, Strategies: strategies(t, "limit"), Workers: 2}).Rows[0]
		assert.GreaterOrEqual(t, row.In, 0.99, tier.String())
		assert.LessOrEqual(t, row.Over, 0.01, tier.String())
		assert.Less(t, row.Adds.Mean, 2.1, tier.String())
	}
}

func TestTablesSayTheSame(t *testing.T) {
	table := play(t, trial.Options{Runs: 8, Tier: trial.Ordinary, Seed: 3, Strategies: strategies(t, "slope,limit"), Workers: 2})
	var text, comma, object bytes.Buffer
	require.NoError(t, table.WriteText(&text))
	require.NoError(t, table.WriteCSV(&comma))
	require.NoError(t, table.WriteJSON(&object))
	assert.Contains(t, text.String(), "70 % of the local slope")
	for line := range strings.Lines(text.String()) {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 81, line)
	}
	rows, err := csv.NewReader(&comma).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 3)
	assert.Equal(t, "slope", rows[1][0])
	var back struct {
		Strategies []struct {
			In      float64 `json:"in_tolerance"`
			Benches []struct{ Additions int }
		}
	}
	require.NoError(t, json.Unmarshal(object.Bytes(), &back))
	assert.InDelta(t, table.Rows[0].In, back.Strategies[0].In, 1e-6)
	assert.Len(t, back.Strategies[1].Benches, 8)
}

func TestInterruptedTableHoldsWhatIsDone(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	o := trial.Options{Runs: 1000, Tier: trial.Ordinary, Seed: 1, Strategies: strategies(t, "limit"), Workers: 2}
	o.Progress = func(done, _ int) {
		if done == 20 {
			cancel()
		}
	}
	table, err := trial.Run(ctx, o)
	assert.ErrorIs(t, err, context.Canceled)
	assert.True(t, table.Runs >= 20 && table.Runs < 1000, "%d", table.Runs)
	assert.Len(t, table.Rows[0].Outcomes, table.Runs)
	assert.False(t, math.IsNaN(table.Rows[0].In))
}

func TestStoryTellsOfEverySecond(t *testing.T) {
	var text strings.Builder
	o, err := trial.Story(&text, trial.Ordinary, false, 7, strategies(t, "coach")[0])
	require.NoError(t, err)
	assert.Equal(t, int(o.Seconds), strings.Count(text.String(), " s  reads "))
	assert.Equal(t, o.Additions, strings.Count(text.String(), ">>> "))
}

func TestNamesAreChecked(t *testing.T) {
	_, err := trial.ParseTier("mild")
	assert.ErrorContains(t, err, "ordinary, harsh, laboratory")
	_, err = trial.ParseStrategies("coach,guess")
	assert.ErrorContains(t, err, `"guess"`)
	assert.False(t, errors.Is(err, trial.ErrNoBench))
}

func BenchmarkRun(b *testing.B) {
	for _, tier := range []trial.Tier{trial.Ordinary, trial.Harsh} {
		for _, s := range trial.Strategies() {
			b.Run(tier.String()+"/"+s.Name, func(b *testing.B) {
				seed := uint64(0)
				for b.Loop() {
					bench, err := trial.Draw(tier, seed)
					require.NoError(b, err)
					_, err = s.Play(bench, nil)
					require.NoError(b, err)
					seed = (seed + 1) % 20
				}
			})
		}
	}
}
