package calib_test

import (
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/calib/walk"
)

var update = flag.Bool("update", false, "write the tables of testdata anew")

// A ladder is what is said while one figure grows: each rung is where that changes.
type ladder struct {
	what     string
	from, to float64
	says     func(x float64) string
}

// rungs are the words at the start, and where they change to what, found by bisection.
func (l ladder) rungs() (out []string) {
	const steps = 130
	at, said := l.from, l.says(l.from)
	out = append(out, fmt.Sprintf("  %.4g %s", at, said))
	for i := 1; i <= steps; i++ {
		next := l.from + (l.to-l.from)*float64(i)/steps
		for words := l.says(next); words != said; {
			low, high := at, next
			for range 12 {
				if mid := (low + high) / 2; l.says(mid) == said {
					low = mid
				} else {
					high = mid
				}
			}
			at, said = high, l.says(high)
			out = append(out, fmt.Sprintf("  %.4g %s", at, said))
		}
		at = next
	}
	return out
}

// sameTable compares a table with that of testdata: its words, and its numbers within
// a share or an amount.
func sameTable(t *testing.T, name string, rows []string, share, amount float64) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(strings.Join(rows, "\n")+"\n"), 0o600))
	}
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	want := strings.Split(strings.TrimRight(string(text), "\n"), "\n")
	for i := range max(len(want), len(rows)) {
		is, was := "(nothing)", "(nothing)"
		if i < len(rows) {
			is = rows[i]
		}
		if i < len(want) {
			was = want[i]
		}
		if !alikeRows(is, was, share, amount) {
			assert.Fail(t, name+" has changed", "line %d\n  it was %s\n  it is  %s", i+1, was, is)
			return
		}
	}
}

func alikeRows(a, b string, share, amount float64) bool {
	x, y := strings.Fields(a), strings.Fields(b)
	return slices.EqualFunc(x, y, func(a, b string) bool {
		u, err := strconv.ParseFloat(a, 64)
		v, err2 := strconv.ParseFloat(b, 64)
		if err != nil || err2 != nil {
			return a == b
		}
		return math.Abs(u-v) <= share*math.Abs(v)+amount
	})
}

// weighs are the findings that are more than passed, with their weight, and whether the
// line can be used; the words of what two standards do not tell count as well.
func weighs(c calib.Calibration) string {
	var out []string
	for _, f := range c.Findings {
		if f.Level == calib.Pass {
			continue
		}
		words := string(f.Code) + ":" + string(f.Level)
		switch {
		case f.Code == calib.CodeTwo && strings.Contains(f.Text, "worn"):
			words += ",worn"
		case f.Code == calib.CodeUndecided: // between so many
			words += fmt.Sprintf(",of_%d", 1+strings.Count(strings.Split(f.Text, ": ")[0], ", or "))
		case f.Code == calib.CodeNoise && strings.Contains(f.Text, "no sound electrode"):
			words += ",no_electrode"
		case strings.Contains(f.Text, "within its spread"):
			words += ",near"
		}
		out = append(out, words)
	}
	if !c.Possible() {
		out = append(out, "no_line")
	}
	slices.Sort(out)
	return strings.Join(append(out, string(c.Verdict)), " ")
}

// off are points of an electrode in standards that are off by so much pH.
func off(t *testing.T, slope, offset float64, temp float64, names string, by ...float64) []calib.Point {
	var out []calib.Point
	for i, name := range strings.Fields(names) {
		p := tablePoint(t, name, temp)
		mv := offset - slope*ideal(temp)*(p.PH+by[i]-7)
		p.MV, p.SD = &mv, 0.006
		out = append(out, p)
	}
	return out
}

// steady are calibrations of an electrode of 98 % and 2 mV, five days apart.
func steady(t *testing.T, n int, slope float64) (out []calib.Calibration) {
	for i := range n {
		a := about()
		a.At = noon.Add(-time.Duration(n-i) * 5 * 24 * time.Hour)
		c, err := calib.Judge(a, off(t, slope, 2, 22, "7.00 4.01", 0, 0), nil)
		require.NoError(t, err)
		out = append(out, c)
	}
	return out
}

// What is said of a calibration, of its use, and of a value in a standard, and from
// where on: testdata/limits.txt is the table of all limits as a person meets them. A
// figure of judgement that is changed moves a rung: see that TestCauses and TestFound
// have not become worse by it (HALFDROP_RUNS=100) before the table is written anew
// (-update).
func TestWhereTheLimitsLie(t *testing.T) {
	judge := func(points []calib.Point, check *calib.Point, earlier []calib.Calibration) string {
		a := about()
		a.Earlier = earlier
		c, err := calib.Judge(a, points, check)
		if err != nil {
			return "error"
		}
		return weighs(c)
	}
	three := "4.01 7.00 10.01"
	change := func(do func(p *calib.Point, x float64)) func(float64) string {
		return func(x float64) string {
			list := off(t, 0.98, 2, 22, three, 0, 0, 0)
			do(&list[1], x)
			return judge(list, nil, nil)
		}
	}
	var rows []string
	for _, l := range append([]ladder{
		{"slope, %, of two standards", 45, 135, func(x float64) string { return judge(off(t, x/100, 2, 22, "7.00 4.01", 0, 0), nil, nil) }},
		{"slope, %, of two read to 0.04", 96, 112, func(x float64) string {
			list := off(t, x/100, 2, 22, "7.00 4.01", 0, 0)
			list[0].SD, list[1].SD = 0.04, 0.04
			return judge(list, nil, nil)
		}},
		{"slope, %, of three", 85, 112, func(x float64) string { return judge(off(t, x/100, 2, 22, three, 0, 0, 0), nil, nil) }},
		{"slope, %, near none", -40, 40, func(x float64) string { return judge(off(t, x/100, 2, 22, "7.00 4.01", 0, 0), nil, nil) }},
		{"offset, mV, of three", 0, 140, func(x float64) string { return judge(off(t, 0.98, x, 22, three, 0, 0, 0), nil, nil) }},
		{"offset, mV, of two", 0, 60, func(x float64) string { return judge(off(t, 0.98, x, 22, "7.00 4.01", 0, 0), nil, nil) }},
		{"the middle one of three too high, pH", 0, 0.5, func(x float64) string { return judge(off(t, 0.98, 2, 22, three, 0, x, 0), nil, nil) }},
		{"4.01 of three too high, pH", 0, 0.5, func(x float64) string { return judge(off(t, 0.98, 2, 22, three, x, 0, 0), nil, nil) }},
		{"10.01 of three too low, pH", 0, 0.6, func(x float64) string { return judge(off(t, 0.98, 2, 22, three, 0, 0, -x), nil, nil) }},
		{"7.00 of two too high, 3 before", 0, 0.4, func(x float64) string { return judge(off(t, 0.98, 2, 22, "7.00 4.01", x, 0), nil, steady(t, 3, 0.98)) }},
		{"the check too high, pH", 0, 0.3, func(x float64) string {
			list := off(t, 0.98, 2, 22, three, 0, x, 0)
			return judge([]calib.Point{list[0], list[2]}, &list[1], nil)
		}},
		{"pH that a meter shows too much in 7.00", 0, 0.3, func(x float64) string {
			list := off(t, 1, 0, 22, "7.00 4.01", 0, 0)
			for i := range list {
				ph := list[i].PH
				if i == 0 {
					ph += x
				}
				list[i].MV, list[i].Shown = nil, &ph
			}
			return judge(list, nil, nil)
		}},
		{"two standards so far apart, pH", 0.2, 6, func(x float64) string {
			list := off(t, 0.98, 2, 22, "4.01 7.00", 0, 0)
			list[1].PH = list[0].PH + x
			mv := 2 - 0.98*ideal(22)*(list[1].PH-7)
			list[1].MV = &mv
			f, err := calib.FitPoints(list)
			if err != nil {
				return "error"
			}
			return strings.Join(strings.Fields(judgedSpan(judge(list, nil, nil))), " ") + fmt.Sprint(f.Slope > 0)
		}},
		{"standards so far apart, °C", 0, 9, func(x float64) string {
			list := off(t, 0.98, 2, 20, "7.00 4.01", 0, 0)
			list[1] = off(t, 0.98, 2, 20+x, "4.01", 0)[0]
			return judge(list, nil, nil)
		}},
		{"all standards at so many °C", 8, 40, func(x float64) string { return judge(off(t, 0.98, 2, x, "7.00 4.01", 0, 0), nil, nil) }},
		{"time constant, s", 2, 80, change(func(p *calib.Point, x float64) { p.TauS = x })},
		{"noise, mV", 0.1, 12, change(func(p *calib.Point, x float64) { p.Noise = x })},
		{"days since the others, slope 1.6 % less", 1, 90, func(x float64) string {
			a := about()
			a.At, a.Earlier = noon.Add(time.Duration((x-5)*24)*time.Hour), steady(t, 3, 0.98)
			c, err := calib.Judge(a, off(t, 0.964, 2, 22, "7.00 4.01", 0, 0), nil)
			require.NoError(t, err)
			return weighs(c)
		}},
		{"slope, % less than thrice before", 0, 6, func(x float64) string {
			return judge(off(t, 0.98-x/100, 2, 22, "7.00 4.01", 0, 0), nil, steady(t, 3, 0.98))
		}},
		{"offset, mV more than thrice before", 0, 12, func(x float64) string {
			return judge(off(t, 0.98, 2+x, 22, "7.00 4.01", 0, 0), nil, steady(t, 3, 0.98))
		}},
	}, uses(t)...) {
		rows = append(rows, l.what)
		rows = append(rows, l.rungs()...)
	}
	sameTable(t, "limits.txt", rows, 0.02, 1e-3)
}

// judgedSpan is what of some words is about the distance of standards.
func judgedSpan(words string) string {
	if strings.Contains(words, "span:remark") {
		return "span:remark "
	}
	return ""
}

// uses are the ladders of a calibration in use, of standards by name, and of values
// typed in one.
func uses(t *testing.T) []ladder {
	c := judged(t, nil, off(t, 0.98, 2, 22, "7.00 4.01", 0, 0)...)
	use := func(change func(u *calib.Use)) string {
		u := calib.Use{At: noon, Target: 5.5, Present: 5.5, TempC: 22, Final: true, Tolerance: 0.05}
		change(&u)
		var out []string
		for _, f := range c.For(u) {
			out = append(out, string(f.Code)+":"+string(f.Level))
		}
		return strings.Join(out, " ")
	}
	typed := func(before []calib.Calibration, x, ph float64) string {
		p := walk.NewProcedure(choices(t, "7.00", "4.01"), 22, wall)
		if before != nil {
			p = walk.During([]standards.Standard{choices(t, "7.00")[0].Standard, choices(t, "4.01")[0].Standard}, 22, 0.05, noon, &before[0])
		}
		r := meter.Reading{Quantity: meter.Millivolt, Value: 2 - 0.98*ideal(22)*(ph-7) + x, Decimals: 1}
		require.NoError(t, p.Type(0, r, false))
		why := "taken"
		if p.Stage() == walk.Ask {
			why = "asked"
			if strings.Contains(p.Why(), "it reads as") {
				why = "asked,like_another"
			}
		}
		return why
	}
	return []ladder{
		{"age, h", 0, 30, func(x float64) string {
			return use(func(u *calib.Use) { u.At = noon.Add(time.Duration(x * float64(time.Hour))) })
		}},
		{"sample warmer, °C", 0, 12, func(x float64) string { return use(func(u *calib.Use) { u.TempC += x }) }},
		{"tolerance, pH", 0.004, 0.12, func(x float64) string { return use(func(u *calib.Use) { u.Tolerance = x }) }},
		{"aim, technical standards", 2, 12, func(x float64) string {
			list, err := standards.Bracketing(standards.Technical, x)
			words := fmt.Sprint(err == nil)
			for _, s := range list {
				words += "_" + s.Name
			}
			return words
		}},
		{"a bottle that prints so much more than 4.01", -0.04, 0.05, func(x float64) string {
			s, err := standards.Find(fmt.Sprintf("%.6f", 4.01+x), standards.Technical)
			if err != nil {
				return strings.Fields(err.Error())[len(strings.Fields(err.Error()))-1]
			}
			return s.String()
		}},
		{"mV too much in 7.00, nothing known", 0, 200, func(x float64) string { return typed(nil, x, 7) }},
		{"pH too much in 4.01, after 7.00 was right", 0, 1, func(x float64) string {
			p := walk.NewProcedure(choices(t, "7.00", "4.01"), 25, wall)
			require.NoError(t, p.Type(0, meter.Reading{Value: 7.00, Decimals: 2}, false))
			require.NoError(t, p.Type(9, meter.Reading{Value: 4.005 + x, Decimals: 2}, false))
			return fmt.Sprint("asked_", p.Stage() == walk.Ask)
		}},
		{"mV too much in 7.00, calibrated", 0, 200, func(x float64) string { return typed([]calib.Calibration{c}, x, 7) }},
	}
}
