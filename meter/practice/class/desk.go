package class

import (
	"cmp"
	"fmt"
	"maps"
	"regexp"
	"slices"

	"example.org/halfdrop/meter/pool"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/score"
)

// Pupil is what one pupil has done, on a page.
type Pupil struct {
	Who      string
	Rows     []Row // by time
	Standing Standing
	Next     string // what to do next, and why
}

// half is the share of the points of an item that a pupil has to have.
const half = 0.5

// Pupils are the pupils of the class by name.
func (c Class) Pupils() []Pupil {
	by := map[string]*Pupil{}
	for _, r := range c.Rows {
		if by[r.Who()] == nil {
			by[r.Who()] = &Pupil{Who: r.Who(), Standing: NewStanding()}
		}
		by[r.Who()].Rows = append(by[r.Who()].Rows, r)
	}
	all, _ := practice.Exercises()
	var out []Pupil
	for _, who := range slices.Sorted(maps.Keys(by)) {
		p := by[who]
		slices.SortStableFunc(p.Rows, func(a, b Row) int { return a.Begun.Compare(b.Begun) })
		for i, r := range p.Rows {
			if r.judged() && !slices.ContainsFunc(p.Rows, func(o Row) bool { return r.again(o) }) && !slices.ContainsFunc(p.Rows[:i], func(o Row) bool { return r.twin(o) }) {
				p.Standing.Take(r.Exercise, r.Points, r.Skills)
			}
		}
		if e, why := p.Standing.Next(all); e != nil {
			p.Next = fmt.Sprintf("%d, %s (%s)", e.Number, e.Title, why)
		} else {
			p.Next = "nothing: " + why
		}
		out = append(out, *p)
	}
	return out
}

// twin reports whether two journals of a pupil are of one run.
func (r Row) twin(o Row) bool {
	return r.Exercise == o.Exercise && r.Begun.Equal(o.Begun) && r.Points == o.Points
}

// again reports whether a run has been handed in once more, better.
func (r Row) again(o Row) bool {
	return r.Exercise == o.Exercise && r.Begun.Equal(o.Begun) && r.Points < o.Points
}

func (r Row) judged() bool { return len(r.Items) > 0 }

// Median is the middle of the class in an exercise, of the best attempt of each.
type Median struct {
	Exercise, Title string
	Number          int
	Pupils          int
	Points          float64
	Skills          map[practice.Skill]float64 // shares from 0 to 1
	Tries           float64
}

// Medians are those of every exercise that was done, by its number.
func (c Class) Medians() []Median {
	var out []Median
	for name, rows := range c.best() {
		m := Median{Exercise: name, Title: rows[0].Title, Number: rows[0].Number, Pupils: len(rows), Skills: map[practice.Skill]float64{}}
		var points, tries []float64
		for _, r := range rows {
			points, tries = append(points, r.Points), append(tries, float64(c.tries(r)))
		}
		m.Points, m.Tries = pool.Median(points), pool.Median(tries)
		for _, k := range practice.Skills {
			var parts []float64
			for _, r := range rows {
				if s, ok := r.Skills[k]; ok && s.Of > 0 {
					parts = append(parts, s.Part())
				}
			}
			if len(parts) > 0 {
				m.Skills[k] = pool.Median(parts)
			}
		}
		out = append(out, m)
	}
	slices.SortFunc(out, func(a, b Median) int {
		return cmp.Or(cmp.Compare(a.Number, b.Number), cmp.Compare(a.Exercise, b.Exercise))
	})
	return out
}

// best is the best attempt of each pupil at each exercise.
func (c Class) best() map[string][]Row {
	out := map[string][]Row{}
	for _, r := range c.Rows { // the best first
		if r.judged() && !slices.ContainsFunc(out[r.Exercise], func(o Row) bool { return o.Who() == r.Who() }) {
			out[r.Exercise] = append(out[r.Exercise], r)
		}
	}
	return out
}

func (c Class) tries(r Row) int {
	n := 0
	for _, o := range c.Rows {
		if o.Who() == r.Who() && o.Exercise == r.Exercise {
			n = max(n, o.Attempt)
		}
	}
	return n
}

// Gap is something that at least half of those who did an exercise have missed.
type Gap struct {
	Exercise, Title string
	Number          int
	Item            string
	Missed, Of      int    // pupils
	Keep            string // what would have kept the points of most of them

	keeps map[string]int
}

// ofOneRun is when something showed in the run of one of them.
var ofOneRun = regexp.MustCompile(`, from \d+:\d\d(:\d\d)? on`)

// Missed is what at least half of those who did an exercise got less than half of
// the points for, in their best attempt; what most have missed comes first. What one of
// several pupils did alone says nothing of a class.
func (c Class) Missed() []Gap {
	var out []Gap
	best, pupils := c.best(), map[string]bool{}
	for _, rows := range best {
		for _, r := range rows {
			pupils[r.Who()] = true
		}
	}
	for name, rows := range best {
		if len(rows) == 1 && len(pupils) > 1 {
			continue
		}
		gaps := map[string]*Gap{}
		for _, r := range rows {
			for _, i := range r.Items {
				g := gaps[i.Key]
				if g == nil {
					g = &Gap{Exercise: name, Title: r.Title, Number: r.Number, Item: i.Name, Of: len(rows), keeps: map[string]int{}}
					gaps[i.Key] = g
				}
				if i.Got < half*i.Of && i.Keep != score.KeepFinishing {
					g.Missed++
					keep := ofOneRun.ReplaceAllString(i.Keep, "")
					if g.keeps[keep]++; g.keeps[keep] > g.keeps[g.Keep] {
						g.Keep = keep
					}
				}
			}
		}
		for _, g := range gaps {
			if 2*g.Missed >= g.Of {
				out = append(out, *g)
			}
		}
	}
	slices.SortFunc(out, func(a, b Gap) int {
		return cmp.Or(-cmp.Compare(float64(a.Missed)/float64(a.Of), float64(b.Missed)/float64(b.Of)), cmp.Compare(a.Number, b.Number), cmp.Compare(a.Item, b.Item))
	})
	return out
}
