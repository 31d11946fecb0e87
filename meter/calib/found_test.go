package calib_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/walk"
)

// stand is a bench with hands that lead an electrode through a calibration.
type stand struct {
	r        *rand.Rand
	g        *glass
	b        *box
	clock    float64
	next     float64 // s, of the next reading
	patience float64
}

func newStand(seed uint64, sends string) *stand {
	r := rand.New(rand.NewPCG(seed, 17))
	return &stand{r: r, g: drawn(r), b: meterOf(r, sends), patience: 400}
}

// pass lets s seconds pass; readings go to the procedure. It stops at a change.
func (s *stand) pass(t *testing.T, p *walk.Procedure, seconds float64, stop bool) bool {
	end := s.clock + seconds
	for s.clock < end-1e-9 {
		s.next = max(s.next, s.clock)
		if s.next > end {
			s.g.to(end)
			s.clock = end
			return false
		}
		s.g.to(s.next)
		s.clock = s.next
		s.next += s.b.every
		changed, err := p.Push(s.clock, s.b.reads(s.g.shows(), s.g.tempC))
		require.NoError(t, err)
		if changed && stop {
			return true
		}
	}
	return false
}

// lift takes the electrode out, rinses it and blots it.
func (s *stand) lift(t *testing.T, p *walk.Procedure) {
	air := func(sec float64) {
		s.g.in = pool{ph: s.g.in.ph, wander: 15, noise: 10}
		s.pass(t, p, sec, false)
		s.g.walk = 0
	}
	air(between(s.r, 1, 3))
	s.g.in = pool{ph: between(s.r, 5.2, 7.2), noise: 3, wander: 1}
	s.pass(t, p, between(s.r, 3, 10), false)
	air(between(s.r, 2, 5))
}

// calibrate goes through the standards; into is the pH of the liquid that the
// electrode is put into. Gives the seconds each took.
func (s *stand) calibrate(t *testing.T, p *walk.Procedure, into func(c walk.Choice) float64) []float64 {
	var took []float64
	for p.Stage() == walk.Immerse {
		s.lift(t, p)
		c, _, _ := p.Current()
		s.g.in = pool{ph: into(c)}
		s.g.walk = 0
		s.pass(t, p, between(s.r, 0.3, 3), false)
		p.Ready(s.clock)
		since := s.clock
		for p.Stage() != walk.Immerse && p.Stage() != walk.Done && s.clock-since < s.patience {
			s.pass(t, p, s.patience, true)
		}
		if p.Stage() == walk.Settle || p.Stage() == walk.Ask {
			require.NoError(t, p.Accept(s.clock))
		}
		took = append(took, s.clock-since)
	}
	return took
}

func (s *stand) truth(c walk.Choice) float64 {
	ph, err := c.Standard.PH(chem.Celsius(s.g.tempC))
	if err != nil {
		panic(err)
	}
	return ph
}

func quantile(list []float64, p float64) float64 {
	l := slices.Clone(list)
	slices.Sort(l)
	return l[min(int(p*float64(len(l))), len(l)-1)]
}

// outcome is what came of one calibration.
type outcome struct {
	s           *stand
	c           calib.Calibration
	took        []float64
	slope       float64 // error, % of the ideal
	readings    float64 // claimed for it, by the readings alone, %
	claimed     float64 // claimed in all
	offset      float64 // error, mV
	offsetClaim float64
}

// once calibrates one electrode of the range. Bottles are off by what
// bottles are, when off is set.
func once(t *testing.T, seed uint64, kind, sends string, off bool, names ...string) outcome {
	s := newStand(seed, sends)
	for _, k := range kinds[1:] {
		if k.name != kind {
			continue
		}
		d := func(v [2]float64) float64 { return between(s.r, v[0], v[1]) }
		s.g.slope, s.g.offset, s.g.fast, s.g.share, s.g.late, s.g.noise = d(k.slope), d(k.offset), d(k.fast), d(k.share), d(k.late), d(k.noise)
		s.g.soaked(between(s.r, 3, 7.5))
	}
	bottle := map[string]float64{}
	for _, n := range names {
		bottle[n] = 0
		if off {
			bottle[n] = 0.01 * s.r.NormFloat64() // ±0.02 on the label
			if n == "10.01" {
				bottle[n] -= 0.02 * math.Abs(s.r.NormFloat64()) // and carbon dioxide
			}
		}
	}
	p := walk.NewProcedure(choices(t, names...), 25, wall)
	took := s.calibrate(t, p, func(c walk.Choice) float64 { return s.truth(c) + bottle[c.Standard.Name] })
	require.Equal(t, walk.Done, p.Stage(), "seed %d", seed)
	points, check := p.Points()
	c, err := calib.Judge(about(), points, check)
	require.NoError(t, err)
	f, err := calib.FitPoints(points)
	require.NoError(t, err)
	return outcome{s: s, c: c, took: took, slope: 100 * (f.Slope - s.g.slope), claimed: 100 * f.SlopeSD, readings: 100 * readingsSD(points),
		offset: f.Offset - s.g.offset, offsetClaim: f.OffsetSD}
}

// readingsSD is the spread of a slope by the readings alone: least squares with
// equal weights, by the textbook.
func readingsSD(points []calib.Point) float64 {
	n := len(points)
	x, mean := make([]float64, n), 0.0
	for i, p := range points {
		x[i] = -ideal(p.TempC) * (p.PH - 7)
		mean += x[i] / float64(n)
	}
	sxx := 0.0
	for i := range x {
		x[i] -= mean
		sxx += x[i] * x[i]
	}
	v := 0.0
	for i := range points {
		for j := range points {
			v += x[i] * x[j] / sxx / sxx * points[max(i, j)].Cov[min(i, j)]
		}
	}
	return math.Sqrt(v)
}

// kinds are ranges of electrodes: a wide one by choice, and those that were measured
// on open recordings (laboratory, ordinary, student, old).
var kinds = []struct {
	name                     string
	fast, share, late, noise [2]float64
	slope, offset            [2]float64
}{
	{"wide", [2]float64{1, 40}, [2]float64{.005, .08}, [2]float64{40, 250}, [2]float64{.1, 2}, [2]float64{.85, 1.02}, [2]float64{-40, 40}},
	{"laboratory", [2]float64{.7, 3.5}, [2]float64{.005, .04}, [2]float64{40, 150}, [2]float64{.06, .12}, [2]float64{.955, 1}, [2]float64{-12, 12}},
	{"ordinary", [2]float64{3, 12}, [2]float64{.003, .03}, [2]float64{40, 120}, [2]float64{.12, .36}, [2]float64{.955, 1}, [2]float64{-12, 12}},
	{"student", [2]float64{2, 6}, [2]float64{.005, .03}, [2]float64{50, 120}, [2]float64{1.2, 1.8}, [2]float64{.92, 1}, [2]float64{-25, 25}},
	{"old", [2]float64{8, 25}, [2]float64{.03, .10}, [2]float64{60, 300}, [2]float64{.2, .5}, [2]float64{.88, .98}, [2]float64{-30, 30}},
}

// TestFound: slope and offset are found within what is claimed, and judged by it.
// Figures of judgement were chosen on odd seeds; these are even ones. What was
// set as a goal is held for the wide range of electrodes; the others are shown.
func TestFound(t *testing.T) {
	n := runs(t, 6)
	for _, k := range kinds {
		for _, names := range []string{"7.00,4.01", "7.00,4.01,10.01"} {
			if k.name != "wide" && (n < 50 || names != "7.00,4.01") {
				continue
			}
			t.Run(k.name+" "+names, func(t *testing.T) {
				t.Parallel()
				var took, errs, claims []float64
				var in, all, offs, right, judged float64
				for i := range uint64(n) {
					o := once(t, 2+2*i, k.name, "mv", i%2 == 1, strings.Split(names, ",")...)
					took = append(took, o.took...)
					errs, claims = append(errs, math.Abs(o.slope)), append(claims, o.claimed)
					in += one(math.Abs(o.slope) <= 2*o.readings || i%2 == 1 && math.Abs(o.slope) <= 2*o.claimed)
					all += one(math.Abs(o.slope) <= 2*o.claimed)
					offs += one(math.Abs(o.offset) <= 2*o.offsetClaim)
					truth := 100 * o.s.g.slope
					near := false
					for _, l := range []float64{90, 95, 105} {
						near = near || math.Abs(truth-l) < o.claimed
					}
					for _, l := range []float64{15, 30} {
						near = near || math.Abs(math.Abs(o.s.g.offset)-l) < o.offsetClaim
					}
					if !near {
						judged++
						right += one(ofLine(o.c) == deserved(truth, o.s.g.offset))
					}
				}
				total := float64(n)
				t.Logf("%d calibrations: slope within two claimed spreads %.1f %% (of the readings alone, without bottles that are off: %.1f %%), offset %.1f %%; error of the slope median %.2f, 90 %% %.2f; claimed ±%.2f, ±%.2f; %.0f s a standard in the median, 90 %% %.0f s; verdict right in %.1f %% of %.0f outside the spread of a limit",
					n, 100*all/total, 100*in/total, 100*offs/total, quantile(errs, .5), quantile(errs, .9), quantile(claims, .5), quantile(claims, .9), quantile(took, .5), quantile(took, .9), 100*right/judged, judged)
				if k.name != "wide" {
					return
				}
				luck := 2 * math.Sqrt(0.05*0.95/total) // of so few draws
				assert.GreaterOrEqual(t, all/total, 0.95-luck, "slope within two claimed spreads")
				assert.GreaterOrEqual(t, in/total, 0.95-luck, "also by the readings alone")
				assert.GreaterOrEqual(t, offs/total, 0.95-luck)
				assert.GreaterOrEqual(t, right/judged, 0.98-luck)
				late := 2 * 1.25 * (quantile(took, .9) - quantile(took, .1)) / 2.56 / math.Sqrt(float64(len(took)))
				assert.LessOrEqual(t, quantile(took, .5), 90.0+late*one(n < 100), "s a standard; of few draws the median is not known better")
				assert.Less(t, quantile(claims, .5), 1.5, "a spread that says nothing would be true as well")
			})
		}
	}
}

// deserved is the verdict that an electrode of a slope, %, and an offset, mV,
// deserves by the limits.
func deserved(slope, offset float64) calib.Verdict {
	switch o := math.Abs(offset); {
	case slope < 90 || slope > 105 || o > 30:
		return calib.Refused
	case slope < 95 || o > 15:
		return calib.WithRemark
	}
	return calib.Accepted
}

// ofLine is the verdict as far as slope and offset make it.
func ofLine(c calib.Calibration) calib.Verdict {
	v := calib.Accepted
	for _, f := range c.Findings {
		if f.Code != calib.CodeSlope && f.Code != calib.CodeOffset {
			continue
		}
		if f.Level == calib.Stop {
			return calib.Refused
		} else if f.Level == calib.Remark {
			v = calib.WithRemark
		}
	}
	return v
}

func one(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
