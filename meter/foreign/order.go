package foreign

import (
	"fmt"
	"math"
	"regexp"
	"slices"

	"example.org/halfdrop/meter/foreign/grid"
	"example.org/halfdrop/meter/foreign/heading"
	"example.org/halfdrop/meter/phrase"
)

// Rows that are not in the order of the titration, several titrations below one another,
// and volumes that do not begin at nothing.

// ofBeaker are names of what is in the beaker, the sample with it; givenName of what was
// given, which can only grow.
var (
	ofBeaker  = regexp.MustCompile(`(?i)beaker|vessel|flask|solution|mixture|\btotal vol|becher|kolben`)
	givenName = regexp.MustCompile(`(?i)\badded\b|\bgiven\b|\bdispensed\b|\bdelivered\b|\bconsum|cumul|titrant|verbrauch|zugegeben`)
)

// begins decides what a volume that grows from more than nothing is counted from. A
// sample of just that volume is in the beaker; a first value far above the steps after
// it is a question.
func (l *Log) begins(v []float64, name string) (VolumeKind, error) {
	var seen []float64
	for _, x := range v {
		if !math.IsNaN(x) && (len(seen) == 0 || x != seen[len(seen)-1]) {
			seen = append(seen, x)
		}
	}
	if len(seen) < 2 || !(seen[0] > 0) || heading.Burette.MatchString(name) {
		return TotalVolume, nil
	}
	k, _ := heading.From(l.Facts)
	step := 0.0
	for i := 1; i <= min(fewSteps, len(seen)-1); i++ {
		step = math.Max(step, seen[i]-seen[i-1])
	}
	switch {
	case k.SampleML > 0 && math.Abs(seen[0]-k.SampleML) < 0.01*k.SampleML && !givenName.MatchString(name):
		return RiseVolume, nil
	case seen[0] <= farFirst*step && !(ofBeaker.MatchString(name) && !givenName.MatchString(name)):
		l.note("the first volume is %s mL, taken as given before the first reading", phrase.Number(seen[0]))
		return TotalVolume, nil
	}
	return "", &Question{Flag: "--volume-is", Choices: []string{string(TotalVolume), string(RiseVolume)},
		What: fmt.Sprintf("%q begins at %s mL; was that given before the first reading (total), or is it counted from there, as by a burette not set to 0 or by what is in the beaker (rise)", name, phrase.Number(seen[0]))}
}

// upsideDown turns the rows of a log that has its last reading first: its times fall, or
// what was given does. A volume without such a name that falls to nothing is a question,
// since a burette may be emptied.
func (r *reader) upsideDown() error {
	at, ok := r.of["volume"]
	if !ok {
		if at, ok = r.of["drops"]; !ok {
			return nil
		}
	}
	v := slices.DeleteFunc(r.t.Values(at), math.IsNaN)
	if len(v) < grid.LeastRows || !falls(v) {
		return nil
	}
	name, last, step, strictly := r.columns[at].Name, v[len(v)-1], 0.0, 0
	for i := 1; i < len(v); i++ {
		if step = math.Max(step, v[i-1]-v[i]); v[i] < v[i-1] {
			strictly++
		}
	}
	notes := r.notes
	t, _ := r.column("time")
	r.notes = notes // it will be read again
	t = slices.DeleteFunc(t, math.IsNaN)
	turned := len(t) > 1 && falls(t)
	switch {
	case r.o.Volume == TotalVolume, turned:
	case r.o.Volume != "" || heading.Burette.MatchString(name) || math.Abs(last) > step, float64(strictly) <= mostSame*float64(len(v)-1):
		return nil // kindOf knows, or asks
	case last == 0 && (givenName.MatchString(name) || heading.BaseName.MatchString(name) || heading.AcidName.MatchString(name)):
	default:
		return &Question{Flag: "--volume-is", Choices: []string{string(TotalVolume), string(LeftVolume), string(EachVolume)},
			What: fmt.Sprintf("%q falls to %s; is it the total given, with the last reading in the first row (total), what is left in the burette (left), or what was given in each row (each)", name, phrase.Number(last))}
	}
	slices.Reverse(r.t.Rows)
	slices.Reverse(r.t.Line)
	r.notes = append(r.notes, "the last reading stands in the first row: read from the bottom up")
	return nil
}

// falls reports whether values fall and never rise.
func falls(v []float64) bool {
	for i := 1; i < len(v); i++ {
		if v[i] > v[i-1] {
			return false
		}
	}
	return v[0] > v[len(v)-1]
}

// Figures of titrations below one another, a choice of this project.
const (
	beganAgain = 0.25 // of the way of the pH: so near to where it began is it again with another sample
	runRows    = 5    // of one of them at least
)

// stacked is where the titrations begin that stand below one another in the same columns:
// volume and pH are where they began. A burette that was filled anew leaves the pH where
// it is.
func stacked(ml, ph []float64) []int {
	starts, at, last := []int{0}, -1, -1
	for i := range ml {
		if math.IsNaN(ml[i]) || i >= len(ph) || math.IsNaN(ph[i]) {
			continue
		}
		if at < 0 {
			at = i
		}
		if last >= 0 && ml[i] < refillDrop*ml[last] {
			if begin := ph[at]; math.Abs(ph[i]-begin) > beganAgain*math.Abs(ph[last]-begin) {
				return nil
			}
			starts, at = append(starts, i), i
		}
		last = i
	}
	for i, from := range starts {
		to := len(ml)
		if i+1 < len(starts) {
			to = starts[i+1]
		}
		if to-from < runRows {
			return nil
		}
	}
	if len(starts) < 2 {
		return nil
	}
	return starts
}

// below leaves the rows of one of several titrations that stand below one another.
func (r *reader) below() error {
	if found, err := r.marked(); found || err != nil {
		return err
	}
	ml, ok := r.column("volume")
	ph, is := r.column("ph")
	if !is {
		ph, is = r.column("mv")
	}
	if !ok || !is || r.runs > 1 || r.o.Volume == EachVolume {
		return nil
	}
	if seen := slices.DeleteFunc(slices.Clone(ml), math.IsNaN); refills(seen) == 0 && refills(used(seen)) > 0 {
		ml = used(ml)
	}
	starts := stacked(ml, ph)
	if starts == nil {
		return nil
	}
	r.piled = true
	if err := r.runOf(len(starts), fmt.Sprintf("the table has %d one below the other", len(starts))); err != nil {
		return err
	}
	to := len(r.t.Rows)
	if r.run < r.runs {
		to = starts[r.run]
	}
	from := starts[r.run-1]
	r.t.Rows, r.t.Line = r.t.Rows[from:to], r.t.Line[from:to]
	return nil
}
