package run_test

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/run/typed"
)

// twisted are the numbers of two decimals that a finger makes of one: two digits
// exchanged, or the point a place further.
func twisted(x float64) (out []float64) {
	text := strconv.FormatFloat(x, 'f', 2, 64)
	for i := 0; i+1 < len(text); i++ {
		j := i + 1
		if text[j] == '.' {
			j++
		}
		if j < len(text) && text[i] != '.' && text[i] != text[j] {
			b := []byte(text)
			b[i], b[j] = b[j], b[i]
			y, _ := strconv.ParseFloat(string(b), 64)
			out = append(out, y)
		}
	}
	return append(out, 10*x, x/10)
}

// Every value of two decimals against what the display should show, known more or less
// well: it is asked about when what a finger may have meant is within 0.06 or one and a
// half spreads of that, four times as near as what was typed, and that is at least 0.15
// and three spreads off. One that is read on its way is not. Where the reading is known to no better than 0.3, nothing is.
func TestEverySlip(t *testing.T) {
	var spreads []float64
	for _, values := range [][]float64{{7.42}, {7.43, 7.42}, {7.9, 7.5, 7.42}, {8.6, 7.9, 7.62}, {9.5, 8.2, 7.9}, {10.2, 8.4}, {10.8, 8.9}, {9.2}, {-7.42}, {-8.61}} { // below zero: that it stands
		k := byHand(t)
		now := 0.0
		for _, ph := range values {
			now += 10
			typeIn(t, k, now, math.Abs(ph), ph < 0)
		}
		v := k.Look(now + 10)
		at, sd := v.Settling.Now, math.Hypot(v.Settling.SD, v.Settling.End-v.Settling.Now)
		spreads = append(spreads, math.Round(1000*sd)/1000)
		low, high := v.Settling.End, v.PH // it is on its way between
		if low > high {
			low, high = high, low
		}
		for i := range 2800 {
			ph, stands := float64(i/2)/100, i%2 == 1
			least := math.Inf(1)
			for _, y := range twisted(ph) {
				if y <= 14 {
					least = math.Min(least, math.Abs(y-at))
				}
			}
			off := math.Abs(ph - at)
			onItsWay := !stands && values[len(values)-1] > 0 && ph >= low && ph <= high
			want := !onItsWay && sd <= 0.3 && least <= math.Max(0.06, 1.5*sd) && off >= math.Max(0.15, 3*sd) && 4*least <= off
			got := k.State.Slip(now+10, typed.Value{PH: ph, Decimals: 2, Stands: stands})
			if !assert.Equal(t, want, got != nil, "%.2f where %.3f ± %.3f should be", ph, at, sd) {
				return
			}
		}
	}
	t.Log(spreads)
}
