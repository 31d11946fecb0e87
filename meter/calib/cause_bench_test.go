package calib_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/calib/walk"
)

// mishap is something that goes wrong in a calibration, done to a stand.
type mishap struct {
	name string
	// do prepares the stand, and says what liquid is in the beaker of a standard.
	do   func(s *stand, names []string) (into func(c walk.Choice) pool)
	want []calib.Code
}

// liquid is the pH of another bottle at the temperature of the stand.
func (s *stand) liquid(name string, set standards.Set) float64 {
	st, err := standards.Find(name, set)
	if err != nil {
		panic(err)
	}
	return s.truth(walk.Choice{Standard: st})
}

// exactly is what labels say, within what bottles are off.
func (s *stand) exactly(c walk.Choice) pool {
	d := 0.01 * s.r.NormFloat64()
	if c.Standard.Nominal > 9 {
		d -= 0.02 * math.Abs(s.r.NormFloat64())
	}
	return pool{ph: s.truth(c) + d}
}

var mishaps = []mishap{
	{"nothing", func(s *stand, names []string) func(walk.Choice) pool { return s.exactly }, nil},
	{"swapped", func(s *stand, names []string) func(walk.Choice) pool {
		i := s.r.IntN(len(names))
		j := (i + 1 + s.r.IntN(len(names)-1)) % len(names)
		other := map[string]string{names[i]: names[j], names[j]: names[i]}
		return func(c walk.Choice) pool {
			if o, ok := other[c.Standard.Name]; ok {
				return pool{ph: s.liquid(o, standards.Technical)}
			}
			return s.exactly(c)
		}
	}, []calib.Code{calib.CodeSwapped}},
	{"another bottle", func(s *stand, names []string) func(walk.Choice) pool {
		wrong := map[string][]string{"7.00": {"6.86/primary", "7.41/primary"}, "4.01": {"3.78/primary"}, "10.01": {"9.21/technical", "9.18/primary"}, "9.21": {"9.00/technical-20"}}
		n := names[s.r.IntN(len(names))]
		name, set, _ := strings.Cut(wrong[n][s.r.IntN(len(wrong[n]))], "/")
		return func(c walk.Choice) pool {
			if c.Standard.Name == n {
				return pool{ph: s.liquid(name, standards.Set(set))}
			}
			return s.exactly(c)
		}
	}, []calib.Code{calib.CodeOther}},
	{"spoilt", func(s *stand, names []string) func(walk.Choice) pool {
		n := names[s.r.IntN(len(names))]
		d := between(s.r, 0.12, 0.3)
		if s.r.IntN(2) == 0 || n == "10.01" {
			d = -d
		}
		return func(c walk.Choice) pool {
			p := s.exactly(c)
			if c.Standard.Name == n {
				p.ph += d
			}
			return p
		}
	}, []calib.Code{calib.CodeAltered, calib.CodeStale, calib.CodeOther}},
	{"water", func(s *stand, names []string) func(walk.Choice) pool {
		n := names[s.r.IntN(len(names))]
		return func(c walk.Choice) pool {
			if c.Standard.Name == n {
				return pool{ph: between(s.r, 5.6, 7), drift: -between(s.r, 0.0005, 0.003), noise: between(s.r, 1, 4), wander: between(s.r, 0.1, 0.8)}
			}
			return s.exactly(c)
		}
	}, []calib.Code{calib.CodeWater}},
	{"same beaker", func(s *stand, names []string) func(walk.Choice) pool {
		n := names[s.r.IntN(len(names))]
		return func(c walk.Choice) pool { return pool{ph: s.liquid(n, standards.Technical)} }
	}, []calib.Code{calib.CodeAlike, calib.CodeSame}},
	{"cap on", func(s *stand, names []string) func(walk.Choice) pool {
		at := between(s.r, 3.8, 7.5)
		s.g.soaked(at)
		return func(c walk.Choice) pool { return pool{ph: at} }
	}, []calib.Code{calib.CodeAlike}},
	{"dead", func(s *stand, names []string) func(walk.Choice) pool {
		s.g.dead = between(s.r, 0.9, 1)
		s.g.offset = between(s.r, -60, 60)
		s.g.soaked(7)
		return func(c walk.Choice) pool { p := s.exactly(c); p.noise = 1; return p }
	}, []calib.Code{calib.CodeAlike}},
	{"bubble", func(s *stand, names []string) func(walk.Choice) pool {
		return func(c walk.Choice) pool {
			p := s.exactly(c)
			p.noise, p.wander = between(s.r, 8, 40), between(s.r, 1, 5)
			return p
		}
	}, []calib.Code{calib.CodeNoise}},
	{"temperature off", func(s *stand, names []string) func(walk.Choice) pool {
		s.b.tempErr = 10
		if s.r.IntN(3) == 0 {
			s.b.tempErr = -10
		}
		return s.exactly
	}, []calib.Code{calib.CodeTemp}},
}

// ordinary is an electrode in use in a laboratory.
func ordinary(r *rand.Rand) *glass {
	g := &glass{r: r, slope: between(r, 0.955, 1), offset: between(r, -12, 12), film: between(r, 0.5, 2),
		fast: logBetween(r, 1, 12), late: logBetween(r, 40, 200), share: logBetween(r, 0.003, 0.04), noise: logBetween(r, 0.08, 0.6), tempC: between(r, 19, 25)}
	g.soaked(between(r, 3, 7.5))
	return g
}

// past are calibrations of the electrode on other days.
func past(t *testing.T, s *stand, n int) (out []calib.Calibration) {
	for i := range n {
		var points []calib.Point
		for _, name := range []string{"7.00", "4.01"} {
			p := tablePoint(t, name, s.g.tempC)
			mv := s.g.potential(p.PH) + 0.7*s.r.NormFloat64()
			p.MV, p.SD = &mv, 0.01
			points = append(points, p)
		}
		a := about()
		a.At = noon.Add(-time.Duration(n-i) * 5 * 24 * time.Hour)
		c, err := calib.Judge(a, points, nil)
		require.NoError(t, err)
		out = append(out, c)
	}
	return out
}

// suffer goes through a calibration with a mishap. The person takes what is asked
// about when it is asked a second time.
func suffer(t *testing.T, seed uint64, m mishap, earlier int, names ...string) calib.Calibration {
	s := newStand(seed, "mv")
	s.g = ordinary(s.r)
	s.b.every = 1
	into := m.do(s, names)
	history := past(t, s, earlier)
	p := walk.NewProcedure(choices(t, names...), 25, wall)
	for p.Stage() == walk.Immerse {
		s.lift(t, p)
		c, _, _ := p.Current()
		s.g.in, s.g.walk = into(c), 0
		s.pass(t, p, between(s.r, 0.3, 3), false)
		for try := range 2 {
			p.Ready(s.clock)
			s.pass(t, p, 170, true)
			for n := 0; p.Stage() == walk.Settle && n < 3; n++ {
				s.pass(t, p, 60, true)
			}
			if p.Stage() != walk.Ask && p.Stage() != walk.Settle {
				break
			}
			if try == 1 {
				require.NoError(t, p.Accept(s.clock))
			}
		}
	}
	points, check := p.Points()
	a := about()
	a.Earlier = history
	c, err := calib.Judge(a, points, check)
	require.NoError(t, err)
	return c
}

// called is how a calibration with a mishap was judged.
type called uint8

const (
	named     called = iota
	undecided        // several causes were said to be possible
	untold           // two standards were said to tell nothing
	otherwise        // another cause was named
	silent           // nothing was said
)

// causes are the codes that name one.
var causes = []calib.Code{calib.CodeSwapped, calib.CodeOther, calib.CodeAltered, calib.CodeStale, calib.CodeWater, calib.CodeSame,
	calib.CodeAlike, calib.CodeReversed, calib.CodeTemp}

func calls(c calib.Calibration, want []calib.Code) called {
	has := func(codes ...calib.Code) bool {
		return slices.ContainsFunc(codes, func(code calib.Code) bool { _, ok := finding(c, code); return ok })
	}
	switch {
	case len(want) > 0 && has(want...):
		return named
	case has(calib.CodeUndecided):
		return undecided
	case has(causes...):
		return otherwise
	case has(calib.CodeTwo):
		return untold
	}
	return silent
}

// TestCauses: what went wrong is named rightly or said to be undecidable in nine of
// ten, and a sound calibration is not accused. Odds and marks were chosen on odd
// seeds; these are even ones. HALFDROP_RUNS says how many of each.
func TestCauses(t *testing.T) {
	n := runs(t, 1)
	for _, bench := range []struct {
		names   string
		earlier int
	}{{"7.00,4.01", 0}, {"7.00,4.01", 3}, {"7.00,10.01", 0}, {"7.00,10.01", 3}, {"7.00,4.01,10.01", 0}, {"7.00,4.01,10.01", 3}} {
		if n < 10 && (bench.names == "7.00,10.01" || bench.earlier == 0) {
			continue
		}
		t.Run(fmt.Sprintf("%s, %d before", bench.names, bench.earlier), func(t *testing.T) {
			t.Parallel()
			for i, m := range mishaps {
				if n < 10 && i > 0 && (i%2 == 0) == (bench.names == "7.00,4.01") {
					continue // the gate tries each in one of the two ways
				}
				var count [silent + 1]int
				verdicts := map[calib.Verdict]int{}
				for seed := range uint64(n) {
					c := suffer(t, 2*seed+2, m, bench.earlier, strings.Split(bench.names, ",")...)
					k := calls(c, m.want)
					count[k]++
					verdicts[c.Verdict]++
					if k == otherwise || k == silent && len(m.want) > 0 || len(m.want) == 0 && (k == undecided || c.Verdict == calib.Refused) {
						t.Logf("  seed %d, %s: %s; %s", 2*seed+2, m.name, c.Summary(), said(c))
					}
				}
				t.Logf("%-16s named %d, undecided %d, two tell nothing %d, otherwise %d, silent %d; %v", m.name, count[named], count[undecided], count[untold], count[otherwise], count[silent], verdicts)
				if len(m.want) == 0 {
					assert.LessOrEqual(t, count[undecided]+count[otherwise], n/10, "accused, and all was right")
					assert.LessOrEqual(t, verdicts[calib.Refused], n/50, "refused, and all was right")
					continue
				}
				assert.GreaterOrEqual(t, count[named]+count[undecided]+count[untold], n-n/10, "%s", m.name)
			}
		})
	}
}

// said are the findings of weight in one line.
func said(c calib.Calibration) string {
	var out []string
	for _, f := range c.Findings {
		if f.Level != calib.Pass {
			out = append(out, string(f.Code)+": "+f.Text)
		}
	}
	return strings.Join(out, " | ")
}
