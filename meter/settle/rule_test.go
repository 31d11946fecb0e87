package settle_test

import (
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"example.org/halfdrop/meter/settle"
	"github.com/stretchr/testify/assert"
)

// slopeRule is the plain rule that many go by: accept the mean of a window once
// its slope is below 0.02 pH/min (a choice; no published limit for buffers was
// found). A short window lets noise pass early, a long one waits.
type slopeRule struct {
	window int // s
	y      []float64
}

func (s *slopeRule) push(y float64) (value float64, accepted bool) {
	s.y = append(s.y, y)
	n := len(s.y)
	if n < s.window {
		return 0, false
	}
	w := s.y[n-s.window:]
	mean, slope, xx := 0.0, 0.0, 0.0
	for _, v := range w {
		mean += v / float64(s.window)
	}
	for i, v := range w {
		x := float64(i) - float64(s.window-1)/2
		slope += x * (v - mean)
		xx += x * x
	}
	return mean, math.Abs(slope/xx)*60 < 0.02
}

// outcome of accepting readings by one way.
type outcome struct {
	near, n int
	wait    float64
	worst   float64
}

func (o *outcome) count(err, wait float64) {
	o.n++
	o.wait += wait
	o.worst = math.Max(o.worst, err)
	if err <= 0.01 {
		o.near++
	}
}

func (o *outcome) share() float64 { return float64(o.near) / float64(o.n) }
func (o *outcome) mean() float64  { return o.wait / float64(o.n) }

// TestAgainstSlopeRule compares the accepted value with the true end value for
// time constants of 3–40 s and noise to 0.02, for both ways on the same
// readings. HALFDROP_RUNS sets how many benches.
func TestAgainstSlopeRule(t *testing.T) {
	runs := 24
	if n, err := strconv.Atoi(os.Getenv("HALFDROP_RUNS")); err == nil {
		runs = n
	}
	r := rand.New(rand.NewPCG(11, 12))
	var ours outcome
	rules := map[int]*outcome{12: {}, 20: {}, 30: {}}
	for range runs {
		tau, noise := 3+37*r.Float64(), 0.002+0.018*r.Float64()
		l := settle.Fresh()
		for _, size := range []float64{1.5, 0.4, 0.1} {
			l = both(r, l, approach{from: 5, to: 5 + size, tau: tau, mix: 1 + 2*r.Float64(), noise: noise, res: 0.01}, &ours, rules)
		}
	}
	t.Logf("settle: %.3f within 0.01, worst %.3f, mean wait %.0f s (n %d)", ours.share(), ours.worst, ours.mean(), ours.n)
	for window, rule := range rules {
		t.Logf("slope rule over %d s: %.3f within 0.01, worst %.3f, mean wait %.0f s (n %d)", window, rule.share(), rule.worst, rule.mean(), rule.n)
		assert.Greater(t, ours.share(), rule.share())
	}
	assert.GreaterOrEqual(t, ours.share(), 0.97)
}

// both waits for one step by settle and by the rules.
func both(r *rand.Rand, l settle.Learned, a approach, ours *outcome, rules map[int]*outcome) settle.Learned {
	w := settle.Window{From: a.from, Expected: a.to + 0.1*(a.to-a.from)*r.NormFloat64(), Resolution: a.res}
	ruling := map[int]*slopeRule{}
	for window := range rules {
		ruling[window] = &slopeRule{window: window}
	}
	done := false
	for t := 1.0; t < 1200 && !(done && len(ruling) == 0); t++ {
		y := a.shown(t, r)
		for window, s := range ruling {
			if v, ok := s.push(y); ok {
				rules[window].count(math.Abs(v-a.to), t)
				delete(ruling, window)
			}
		}
		if done {
			continue
		}
		w = w.Push(t, y)
		if e := l.Estimate(w, t); e.State == settle.Settled {
			ours.count(math.Abs(e.End-a.to), t)
			done = true
		}
	}
	return l.Learn(w)
}
