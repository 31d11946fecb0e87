package practice_test

import (
	"encoding/json"
	"math"
	"slices"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/journal"
)

// readings are those since the beaker was last touched, with their times, s.
func (r *reckoner) readings() (t, ph []float64) {
	for _, e := range r.diary.Events {
		if e.Reading == nil || e.T <= r.began {
			continue
		}
		switch {
		case e.Reading.PH != nil:
			t, ph = append(t, e.T-r.began), append(ph, *e.Reading.PH)
		case e.Reading.MV != nil:
			t, ph = append(t, e.T-r.began), append(ph, r.line[0]+r.line[1]**e.Reading.MV)
		}
	}
	return t, ph
}

// lower leaves out the upper line where the readings lie on two.
func lower(t, ph []float64) ([]float64, []float64) {
	s := slices.Sorted(slices.Values(ph))
	n := len(s)
	if n < 12 || s[n*9/10]-s[n/10] < 0.25 || s[n*2/5]-s[n/10] > 0.15 { // one line, or a slope
		return t, ph
	}
	var a, b []float64
	for i := range ph {
		if ph[i] < s[n/4]+0.12 {
			a, b = append(a, t[i]), append(b, ph[i])
		}
	}
	return a, b
}

// rest is where the readings lead, how far that is from where they stand, and the spread:
// a quick exponential and a late one, of time constants that fit best. Of the step an
// electrode leaves a tenth or so to its late part.
func rest(t, ph []float64) (end, ahead, sd float64) {
	t, ph = lower(t, ph)
	from, _ := slices.BinarySearch(t, 6) // the first drops spread
	t, ph = t[from:], ph[from:]
	n, best := len(t), math.Inf(1)
	late := math.Max(0.02, 0.1*(slices.Max(ph)-slices.Min(ph)))
	for _, quick := range []float64{3, 5, 8, 12, 18, 27} {
		for _, slow := range []float64{60, 120, 240, 480} {
			a, y := mat.NewDense(n+1, 3, nil), mat.NewVecDense(n+1, nil)
			for i := range n {
				a.SetRow(i, []float64{1, math.Exp(-(t[i] - t[0]) / quick), math.Exp(-(t[i] - t[0]) / slow)})
				y.SetVec(i, ph[i])
			}
			a.Set(n, 2, 0.01/late) // the guess of the late part, beside readings good to 0.01
			var c, fit mat.VecDense
			if c.SolveVec(a, y) != nil {
				continue
			}
			fit.MulVec(a, &c)
			fit.SubVec(y, &fit)
			if sum := mat.Dot(&fit, &fit); sum < best {
				best = sum
				end, ahead = c.AtVec(0), a.At(n-1, 1)*c.AtVec(1)+a.At(n-1, 2)*c.AtVec(2)
				var ata, inv mat.Dense
				ata.Mul(a.T(), a)
				if inv.Inverse(&ata) == nil {
					sd = math.Sqrt(math.Max(sum/float64(n), 1e-5) * inv.At(0, 0))
				}
			}
		}
	}
	return end, ahead, sd
}

// pass lets seconds go by; the program looks meanwhile, as it does at the bench.
func (r *reckoner) pass(seconds int) {
	for ; seconds > 0; seconds -= 2 {
		r.wait(min(2, seconds))
	}
}

// settle waits until the reading is good enough for the way that is left.
func (r *reckoner) settle() seen {
	tol := r.tolerance()
	var end, ahead, sd float64
	for r.pass(30); r.now-r.began < patience; r.pass(10) {
		end, ahead, sd = rest(r.readings())
		way := math.Abs(end - r.aim())
		good := math.Max(tol/2, 0.15*way)
		slow, least := expertKnows[r.e.Name].slow, 0.0
		if least = slow / 8; way < nearby {
			least = math.Max(60, slow)
		}
		if r.now-r.began < least {
			continue
		}
		if math.Abs(ahead) < 0.6*good && sd < 0.4*good {
			break
		}
	}
	return seen{end, math.Hypot(math.Max(0.004, sd), guessSlope*(end-r.aim())), slices.Clone(r.given)}
}

// calm waits until the middles of two stretches of twenty seconds are alike.
func (r *reckoner) calm() {
	for r.pass(20); r.now-r.began < patience; r.pass(10) {
		_, ph := lower(r.readings())
		if n := len(ph); n > 40 {
			late, early := slices.Sorted(slices.Values(ph[n-20:])), slices.Sorted(slices.Values(ph[n-40:n-20]))
			if math.Abs(late[10]-early[10]) < math.Max(0.004, 0.25*r.tolerance()) {
				return
			}
		}
	}
}

// lineOf is the line through the standards of a calibration, by hand.
func (r *reckoner) lineOf() {
	for _, e := range r.diary.Events {
		if e.Kind != journal.Calibrated {
			continue
		}
		var c calib.Calibration
		require.NoError(r.t, json.Unmarshal(e.Calibration, &c))
		var mv, ph []float64
		for _, p := range c.Points {
			mv, ph = append(mv, *p.MV), append(ph, p.PH)
		}
		r.line[0], r.line[1] = stat.LinearRegression(mv, ph, nil, false)
	}
}
