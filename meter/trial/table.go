package trial

import (
	"math"
	"slices"
)

// Table is what a trial found, a row for each strategy.
type Table struct {
	Tier Tier
	Seed uint64
	Runs int // benches played to the end
	Rows []Row
}

// Row is one strategy over all benches. Shares are from 0 to 1, NaN when
// there was nothing to take a share of.
type Row struct {
	Strategy Strategy
	In       float64 // in tolerance when made up
	Over     float64 // overshoot
	Back     float64 // titrated back
	GaveUp   float64
	Adds     Stat
	Seconds  Stat
	Typed    Stat // values typed; of strategies by hand
	Asked    int  // values that were asked about
	Coached  bool
	Gross    int     // benches with a gross mistake
	Named    float64 // of those, with a mistake named
	Right    float64 // of those, with the likeliest name right every time
	Among    float64 // of those, with the right name among those given
	Said     float64 // of those, with that or, in the end, that drops did more or less than the plan says
	False    float64 // of sound benches, with a CHECK of any kind
	Confused Confusion
	Outcomes []Outcome // in the order of the seeds
}

// Stat describes a list of numbers.
type Stat struct{ Mean, Median, P95, Max float64 }

// Confusion counts, by true mistake, the kinds of what was named first.
type Confusion map[Gross]map[string]int

func tabulate(o Options, results [][]Outcome) Table {
	t := Table{Tier: o.Tier, Seed: o.Seed}
	for _, list := range results {
		if list != nil {
			t.Runs++
		}
	}
	for j, s := range o.Strategies {
		row := Row{Strategy: s, Coached: s.coached, Confused: Confusion{}}
		for _, list := range results {
			if list != nil {
				row.Outcomes = append(row.Outcomes, list[j])
			}
		}
		row.count()
		t.Rows = append(t.Rows, row)
	}
	return t
}

func (r *Row) count() {
	var adds, secs, typed []float64
	in, over, back, gave := 0, 0, 0, 0
	named, right, among, said, alarms, sound := 0, 0, 0, 0, 0, 0
	for _, o := range r.Outcomes {
		adds, secs = append(adds, float64(o.Additions)), append(secs, o.Seconds)
		typed, r.Asked = append(typed, float64(o.Typed)), r.Asked+o.Asked
		in, over, back, gave = in+one(o.In), over+one(o.Over), back+one(o.Back), gave+one(o.Stuck != "")
		has := len(o.Named) > 0
		if o.Gross == Sound {
			sound++
			alarms += one(len(o.Checks) > 0)
		} else {
			r.Gross++
			named, right, among = named+one(has), right+one(o.Right), among+one(o.Among)
			said += one(o.Among || !has && o.Brought > 0 && (o.Brought > 1) == (o.Gross == HalfBuffer || o.Gross == StrongStock))
		}
		r.Confused.add(o)
	}
	n := len(r.Outcomes)
	r.In, r.Over, r.Back, r.GaveUp = share(in, n), share(over, n), share(back, n), share(gave, n)
	r.Named, r.Right, r.Among, r.Said, r.False = share(named, r.Gross), share(right, r.Gross), share(among, r.Gross), share(said, r.Gross), share(alarms, sound)
	r.Adds, r.Seconds, r.Typed = stat(adds), stat(secs), stat(typed)
}

func (c Confusion) add(o Outcome) {
	if c[o.Gross] == nil {
		c[o.Gross] = map[string]int{}
	}
	first := "nothing"
	switch {
	case len(o.Named) > 0:
		first = kind(o.Named[0][0])
	case o.Brought > 1:
		first = "drops do more"
	case o.Brought > 0:
		first = "drops do less"
	}
	c[o.Gross][first]++
}

func one(b bool) int {
	if b {
		return 1
	}
	return 0
}

func share(k, n int) float64 {
	if n == 0 {
		return math.NaN()
	}
	return float64(k) / float64(n)
}

func stat(x []float64) Stat {
	if len(x) == 0 {
		return Stat{math.NaN(), math.NaN(), math.NaN(), math.NaN()}
	}
	slices.Sort(x)
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	rank := func(p float64) float64 { return x[min(len(x)-1, int(math.Ceil(p*float64(len(x))))-1)] }
	return Stat{Mean: sum / float64(len(x)), Median: rank(0.5), P95: rank(0.95), Max: x[len(x)-1]}
}
