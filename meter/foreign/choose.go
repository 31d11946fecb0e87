package foreign

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/meter/foreign/grid"
)

// byName takes the column that names a quantity; of several, those of one run, or
// it is a question.
func (r *reader) byName(q string) error {
	if _, has := r.of[q]; has {
		return nil
	}
	if r.o.Column[q] == "-" {
		return nil
	}
	list := r.candidates(q)
	_, ph := r.of["ph"]
	_, volume := r.of["volume"]
	switch {
	case len(list) == 0:
		return nil
	case len(list) == 1:
		r.use(q, list[0], "by its name")
		return nil
	case q == "ph":
		return r.several(list)
	case r.runs > 1 && len(list) == r.runs:
		r.use(q, list[r.run-1], fmt.Sprintf("by its name, of run %d", r.run))
		return nil
	case q == "mv" && ph || q == "drops" && volume:
		return nil
	case q == "volume":
		return r.volumes(list)
	case q == "time", q == "temp":
		r.use(q, list[0], "by its name, the first of several")
		return nil
	}
	return &Question{Flag: "--" + q, What: "several columns may be the " + Spoken(q), Choices: r.names(list)}
}

// several takes one of several columns of pH: the run asked for when they are the
// same quantity again and again.
func (r *reader) several(list []int) error {
	base := map[string]bool{}
	for _, at := range list {
		base[strings.ToLower(strings.TrimSpace(indexed.ReplaceAllString(r.columns[at].Name, " ")))] = true
	}
	if len(base) > 1 {
		return &Question{Flag: "--ph", What: "several columns may be the pH", Choices: r.names(list)}
	}
	if err := r.runOf(len(list), fmt.Sprintf("the table has %d side by side", len(list))); err != nil {
		return err
	}
	r.use("ph", list[r.run-1], fmt.Sprintf("by its name, of run %d", r.run))
	return nil
}

// indexed is what tells the columns of several runs apart in their names.
var indexed = regexp.MustCompile(`(?i)\b(run|trial|replicate|rep|test|series|titration|exp(eriment)?|set|no)\b[ ._#-]*(\d+|[a-h])\b\W*|[ ._#-]*\(?\d+\)?$|[ ._-]+[A-Ha-h]$`)

// volumes takes one of several columns of volume: the sum when one is that of
// another, else it is a question.
func (r *reader) volumes(list []int) error {
	var moving []int
	for _, at := range list {
		if low, high := grid.Span(r.t.Values(at)); high > low {
			moving = append(moving, at)
		} else {
			r.columns[at].Why = "the same in every row"
		}
	}
	if len(moving) == 1 {
		r.use("volume", moving[0], "by its name")
		return nil
	}
	for _, total := range moving {
		for _, part := range moving {
			if total != part && sums(r.t.Values(total), r.t.Values(part)) {
				r.use("volume", total, fmt.Sprintf("by its name, the sum of %q", r.columns[part].Name))
				r.columns[part].Why = "what was added in each row; its sum is used"
				return nil
			}
		}
	}
	return &Question{Flag: "--volume", What: "several columns may be the volume of titrant", Choices: r.names(moving)}
}

// sums reports whether a column is the running sum of another.
func sums(total, part []float64) bool {
	n := 0
	for i := 1; i < len(total); i++ {
		d := total[i] - total[i-1]
		if math.IsNaN(d + part[i]) {
			continue
		}
		if math.Abs(d-part[i]) > 0.011+0.01*math.Abs(part[i]) {
			return false
		}
		n++
	}
	return n >= grid.LeastRows-1
}

// find is the place of a column by name or by number from 1.
func (r *reader) find(want string) (int, error) {
	for at, c := range r.columns {
		if strings.EqualFold(c.Name, strings.TrimSpace(want)) {
			return at, nil
		}
	}
	if name, in, ok := strings.Cut(want, " in "); ok { // "V in µL"
		if u, is := grid.UnitOf(in); is && u.Quantity != "" {
			at, err := r.find(name)
			if err == nil {
				r.says[at], r.named[at] = u, true
			}
			return at, err
		}
	}
	if n, err := strconv.Atoi(want); err == nil && n >= 1 && n <= len(r.columns) {
		return n - 1, nil
	}
	return 0, fmt.Errorf("no column %q: there are %s", want, strings.Join(r.labels(), ", "))
}

func (r *reader) labels() []string {
	var all []int
	for at := range r.columns {
		all = append(all, at)
	}
	return r.names(all)
}

// names are columns for a person; those of one name by their numbers.
func (r *reader) names(list []int) []string {
	var out []string
	for _, at := range list {
		name := r.columns[at].Name
		if slices.ContainsFunc(r.columns, func(c Column) bool { return c.Name == name && c.Number != at+1 }) {
			name = fmt.Sprintf("%d (%s)", at+1, name)
		}
		out = append(out, name)
	}
	return out
}
