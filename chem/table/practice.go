package table

import (
	_ "embed"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"example.org/halfdrop/chem/csvrows"
)

//go:embed data/practice.csv
var practiceCSV []byte

//go:embed data/use.csv
var useCSV []byte

// Standing is how a buffer stands in the trade.
type Standing string

// The standings.
const (
	Usual  Standing = "usual"
	Seldom Standing = "seldom" // the jar is seldom at hand
	Rare   Standing = "rare"   // hardly any laboratory has one
	Odd    Standing = "odd"    // could be a buffer, and is none to speak of
)

// Habit is what the trade does with a buffer.
type Habit struct {
	Standing Standing
	Words    string       // why it is odd
	Ranges   [][2]float64 // pH in which it is used; none where nothing is known
	Remark   string       // what to know at the bench; "" for nothing
	Source   string
	By       Origin
}

// Use is how often a buffer was counted between two pH.
type Use struct {
	Low, High   float64
	Recipes, Of int
	Most        bool // Recipes is the least that was listed: this one is not, and was counted no oftener
	Source      string
}

type habits struct {
	of  map[string]Habit
	use map[string][]Use
	top []Use // the most used of every interval
	low []int // and how often the least used of it was counted that is listed
}

var practices = csvrows.Once(func() (*habits, error) { return readHabits(practiceCSV, useCSV) })

// HabitOf is what the trade does with a system; Seldom where nothing is known.
func HabitOf(system string) Habit {
	if h, ok := practices().of[key(system)]; ok {
		return h
	}
	return Habit{Standing: Seldom}
}

// UseAt is how often a system was counted round a pH, and how often the most
// used one was; false where that pH was not counted. The lists end somewhere: of
// what is not on one it is known that it was counted no oftener than the last
// that is.
func UseAt(system string, ph float64) (own, most Use, ok bool) {
	t := practices()
	for i, u := range t.top {
		if ph >= u.Low && ph < u.High {
			most, ok = u, true
			own = u
			own.Recipes, own.Most = t.low[i], true
		}
	}
	for _, u := range t.use[key(system)] {
		if ph >= u.Low && ph < u.High {
			own = u
		}
	}
	return own, most, ok
}

func readHabits(practice, use []byte) (*habits, error) {
	t := &habits{of: map[string]Habit{}, use: map[string][]Use{}}
	err := csvrows.Each(practice, 7, "table: practice", func(r []string) error {
		h, err := parseHabit(r)
		t.of[key(r[0])] = h
		return err
	})
	if err != nil {
		return nil, err
	}
	err = csvrows.Each(use, 7, "table: use", func(r []string) error {
		u := Use{Source: r[5]}
		n, err := fmt.Sscan(strings.Join(r[1:5], " "), &u.Low, &u.High, &u.Recipes, &u.Of)
		if _, known := t.of[key(r[0])]; n != 4 || err != nil || !known || r[5] == "" {
			return errors.New("needs a system, four numbers and a source")
		}
		t.use[key(r[0])] = append(t.use[key(r[0])], u)
		t.count(u)
		return nil
	})
	return t, err
}

// count keeps the most used of an interval.
func (t *habits) count(u Use) {
	for i := range t.top {
		if t.top[i].Low == u.Low {
			if u.Recipes > t.top[i].Recipes {
				t.top[i] = u
			}
			t.low[i] = min(t.low[i], u.Recipes)
			return
		}
	}
	t.top, t.low = append(t.top, u), append(t.low, u.Recipes)
}

func parseHabit(r []string) (Habit, error) {
	h := Habit{Standing: Standing(r[1]), Words: r[2], Remark: r[4], Source: r[5], By: Origin(r[6])}
	if _, err := System(r[0]); err != nil {
		return h, err
	}
	switch {
	case h.Standing != Usual && h.Standing != Seldom && h.Standing != Rare && h.Standing != Odd:
		return h, fmt.Errorf("standing %q: must be usual, seldom, rare or odd", r[1])
	case h.Standing == Odd && h.Words == "":
		return h, fmt.Errorf("%s is odd for no reason", r[0])
	case strings.TrimSpace(h.Source) == "" || h.By != Seen && h.By != Memory && h.By != Practice:
		return h, fmt.Errorf("%s: no source", r[0])
	}
	if r[3] == "" {
		return h, nil
	}
	for part := range strings.SplitSeq(r[3], "|") {
		a, b, _ := strings.Cut(part, "-")
		low, errA := strconv.ParseFloat(a, 64)
		high, errB := strconv.ParseFloat(b, 64)
		if errA != nil || errB != nil || low >= high {
			return h, fmt.Errorf("%s: range %q", r[0], part)
		}
		h.Ranges = append(h.Ranges, [2]float64{low, high})
	}
	return h, nil
}

// Outside is how far a pH lies outside all ranges of use; 0 inside, or where
// none is known.
func (h Habit) Outside(ph float64) float64 {
	best, known := 0.0, false
	for _, r := range h.Ranges {
		d := max(r[0]-ph, ph-r[1], 0)
		if !known || d < best {
			best, known = d, true
		}
	}
	return best
}
