package trial

import (
	"cmp"
	"fmt"
	"io"
	"slices"

	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/spot"
)

// Naming is a table of what was named first, by what was wrong.
type Naming struct {
	Rows  []NamingRow // by fault, in the order of the bench; the sound benches last
	Right float64     // share rightly named of the faults that the readings can show
	Among float64     // the same when what was named as alike counts
	False float64     // share of sound runs in which something was named
}

// NamingRow is one fault.
type NamingRow struct {
	Fault  string // empty for sound benches
	Seen   bool   // the readings can show it
	Runs   int
	Right  int
	Among  int
	Median float64 // s from the onset until it was rightly named
	Named  []Count // what else was named, the most frequent first; empty for nothing
}

// Count is a name with how often it was given.
type Count struct {
	Name  string
	Times int
}

// Name tabulates sights.
func Name(sights []Sight) Naming {
	var t Naming
	right, among, all := 0, 0, 0
	for _, k := range append(sim.Faults(), sim.FaultKind{}) {
		row := NamingRow{Fault: k.Name, Seen: k.Seen || k.Name == string(spot.Temperature)}
		names := map[string]int{}
		var times []float64
		for _, s := range sights {
			if s.Fault != k.Name {
				continue
			}
			row.Runs++
			switch {
			case string(s.Named) == k.Name && k.Name != "":
				row.Right++
				row.Among++
				times = append(times, s.T-s.Onset)
			default:
				names[string(s.Named)]++
				if slices.Contains(s.Also, spot.Fault(k.Name)) {
					row.Among++
				}
			}
		}
		if row.Runs == 0 {
			continue
		}
		row.Named = counted(names)
		slices.Sort(times)
		if len(times) > 0 {
			row.Median = times[len(times)/2]
		}
		t.Rows = append(t.Rows, row)
		switch {
		case k.Name == "":
			t.False = 1 - float64(names[""])/float64(row.Runs)
		case row.Seen:
			right, among, all = right+row.Right, among+row.Among, all+row.Runs
		}
	}
	if all > 0 {
		t.Right, t.Among = float64(right)/float64(all), float64(among)/float64(all)
	}
	return t
}

// counted are names with how often each was given, the most frequent first.
func counted(names map[string]int) []Count {
	var out []Count
	for n, k := range names {
		out = append(out, Count{n, k})
	}
	slices.SortFunc(out, func(a, b Count) int { return cmp.Or(-cmp.Compare(a.Times, b.Times), cmp.Compare(a.Name, b.Name)) })
	return out
}

// WriteText writes the table for people.
func (t Naming) WriteText(out io.Writer) error {
	w := &sticky{w: out}
	w.printf("%-14s %5s %6s %6s %7s  %s\n", "what was wrong", "runs", "right", "alike", "after s", "what else was named first")
	for _, r := range t.Rows {
		name, share, after := r.Fault, fmt.Sprintf("%.0f %%", 100*float64(r.Right)/float64(r.Runs)), "–"
		if r.Fault == "" {
			name, share = "nothing", "–"
		}
		if r.Right > 0 {
			after = fmt.Sprintf("%.0f", r.Median)
		}
		w.printf("%-14s %5d %6s %5.0f %% %7s ", name, r.Runs, share, 100*float64(r.Among)/float64(r.Runs), after)
		if r.Fault != "" && !r.Seen {
			w.printf(" (cannot be seen)")
		}
		for i, c := range r.Named {
			if c.Name == "" {
				c.Name = "nothing"
			}
			w.printf("%s %s %d", []string{"", ","}[min(i, 1)], c.Name, c.Times)
		}
		w.printf("\n")
	}
	w.printf("\ncorrectly named first, of the faults that can be seen: %.1f %% (with what looks alike: %.1f %%)\n", 100*t.Right, 100*t.Among)
	w.printf("a fault named on a sound bench: %.1f %%\n", 100*t.False)
	return w.err
}

// sticky is a writer that keeps its first error.
type sticky struct {
	w   io.Writer
	err error
}

func (s *sticky) printf(format string, a ...any) {
	if s.err == nil {
		_, s.err = fmt.Fprintf(s.w, format, a...)
	}
}

// Wrong is the sights in which something else was named than what was wrong.
func Wrong(sights []Sight) []Sight {
	return slices.DeleteFunc(slices.Clone(sights), func(s Sight) bool { return string(s.Named) == s.Fault })
}

// String is a sight in a line.
func (s Sight) String() string {
	what := s.Fault
	if what == "" {
		what = "nothing"
	}
	if s.Named == "" {
		return fmt.Sprintf("%s, seed %d, from %.0f s: nothing was named", what, s.Seed, s.Onset)
	}
	return fmt.Sprintf("%s, seed %d, from %.0f s: %s after %.0f s: %s", what, s.Seed, s.Onset, s.Named, s.T, s.Words)
}
