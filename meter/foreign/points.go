package foreign

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem/fit"
	"example.org/halfdrop/meter/phrase"
)

// fewNotes is how many rows are named one by one.
const fewNotes = 5

// look reports what is odd about volumes and times.
func (l *Log) look() {
	var back, again, wild, late []int
	read, high := 0, math.Inf(-1)
	for i, b := range l.Rows {
		if !math.IsNaN(b.ML) {
			read++
			if b.ML < high {
				back = append(back, b.Line)
			}
			high = math.Max(high, b.ML)
		}
		if i == 0 {
			continue
		}
		a := l.Rows[i-1]
		if b.ML == a.ML {
			again = append(again, b.Line)
		}
		if b.T < a.T {
			late = append(late, b.Line)
		}
	}
	for _, r := range l.Rows {
		if r.PH < -1 || r.PH > 15 {
			wild = append(wild, r.Line)
		}
	}
	n := len(l.Rows)
	l.Rows = slices.DeleteFunc(l.Rows, func(r Row) bool { return r.PH < -1 || r.PH > 15 })
	l.list("the volume goes backwards", back)
	l.list("the time goes backwards", late)
	l.list("the pH is impossible, and is left out", wild)
	switch {
	case read > 0 && 2*read < n:
		l.note("the volume is noted in %d of %d rows; these are the points of the curve", read, n)
	case l.stepped():
		l.note("%d readings at volumes already read: the last of each counts", len(again))
	default:
		l.list("the same volume as the line before: the later reading counts", again)
	}
}

func (l *Log) list(what string, lines []int) {
	if len(lines) == 0 {
		return
	}
	names := phrase.Each(lines[:min(len(lines), fewNotes)], func(n int) string { return fmt.Sprint(n) })
	more := ""
	if len(lines) > fewNotes {
		more = fmt.Sprintf(" and %d more", len(lines)-fewNotes)
	}
	l.note("%s %s%s: %s", map[bool]string{true: "line", false: "lines"}[len(lines) == 1], strings.Join(names, ", "), more, what)
}

// stepped reports whether the log follows the reading at every volume.
func (l *Log) stepped() bool {
	same := 0
	for i := 1; i < len(l.Rows); i++ {
		if l.Rows[i].ML == l.Rows[i-1].ML {
			same++
		}
	}
	return same*2 > len(l.Rows)
}

// HasVolume reports whether the log says how much was given.
func (l *Log) HasVolume() bool {
	return slices.ContainsFunc(l.Rows, func(r Row) bool { return !math.IsNaN(r.ML) })
}

// Points are the last readings at each volume, in order of volume. A row whose
// volume lies below one before it is left out.
func (l *Log) Points() []fit.Point {
	var out []fit.Point
	for _, r := range l.Rows {
		switch n := len(out); {
		case math.IsNaN(r.ML):
		case n > 0 && r.ML == out[n-1].ML:
			out[n-1].PH = r.PH
		case n == 0 || r.ML > out[n-1].ML:
			out = append(out, fit.Point{ML: r.ML, PH: r.PH})
		}
	}
	return out
}

// Figures of volumes that are noted where they were given, a choice of this project.
const (
	notedFewest = 4    // volumes
	comesToRest = 0.3  // of a move that may fall into the second half of its rows, as a rule
	atRest      = 0.25 // of the next move of the pH, up to which it rested before the first addition
)

// carry puts the volume of an addition on the readings after it, where it was noted when it
// was given and not when it was read: the pH rests until the second volume, the first being
// none, and moves after the last.
func carry(ml, ph []float64) bool {
	var at []int
	for i, v := range ml {
		if !math.IsNaN(v) && i < len(ph) {
			at = append(at, i)
		}
	}
	n := len(at)
	if n < notedFewest || 2*n >= len(ml) || ml[at[0]] != 0 {
		return false
	}
	to := func(k int) int { // the last row before the next volume
		if k+1 < n {
			return at[k+1] - 1
		}
		return len(ph) - 1
	}
	move := func(k int) float64 { return math.Abs(ph[to(k)] - ph[at[k]]) }
	if !(move(0) < atRest*move(1)) || !(move(n-1) > atRest*move(n-2)) {
		return false
	}
	var late []float64 // of each move, the share of the second half: half of it where titrant runs on
	for k := 1; k < n; k++ {
		if m := move(k); to(k)-at[k] >= 2 && m > 0 {
			late = append(late, math.Abs(ph[to(k)]-ph[(at[k]+to(k)+1)/2])/m)
		}
	}
	if slices.Sort(late); len(late) < notedFewest-1 || late[len(late)/2] > comesToRest {
		return false
	}
	for i := range ml {
		if i > at[0] && math.IsNaN(ml[i]) {
			ml[i] = ml[i-1]
		}
	}
	return true
}
