package replay

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// column is where a quantity stands.
type column struct {
	at   int
	unit float64 // to s, mL or °C
	name string
}

// known tells quantities by the names of their columns, the surest first.
var known = []struct {
	quantity string
	name     *regexp.Regexp
}{
	{"mv", regexp.MustCompile(`(?i)\bmv\b|potential|\bemf\b|millivolt|voltage|\bvolts?\b`)},
	{"ph", regexp.MustCompile(`(?i)^\W*ph\b|\bph\W*$|_ph$|^ph_|\bph\b`)},
	{"drops", regexp.MustCompile(`(?i)\bdrops?\b|\bgtt\b`)},
	{"volume", regexp.MustCompile(`(?i)vol|^v$|^v[ _(/]|\bm[lL]\b|_ml$|titrant|burette|[µμ]l|\bul\b`)},
	{"temp", regexp.MustCompile(`(?i)temp|°\s*c\b|_c$|\bdeg`)},
	{"time", regexp.MustCompile(`(?i)time|date|elapsed|\bsec|\bmin\b|^t(_s)?$|\bt\b|hour|\bday`)},
}

// Quantities are what a column can be mapped to.
func Quantities() []string { return []string{"time", "ph", "mv", "volume", "drops", "temp"} }

// columns finds the column of each quantity: as told, by name, by shape.
func (t *table) columns(o LogOptions) (map[string]column, []string, error) {
	out, used := map[string]column{}, map[int]bool{}
	var notes []string
	for _, q := range Quantities() {
		want, ok := o.Column[q]
		if !ok || want == "" {
			continue
		}
		at, err := t.find(want)
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %w", q, err)
		}
		if at >= 0 {
			out[q], used[at] = t.column(q, at), true
		}
	}
	free := func(q string, at int) bool {
		_, has := out[q]
		_, told := o.Column[q]
		return !has && !told && !used[at]
	}
	for _, k := range known {
		for at, name := range t.header {
			if k.name.MatchString(strings.TrimSpace(name)) && free(k.quantity, at) && t.numeric(at) {
				out[k.quantity], used[at] = t.column(k.quantity, at), true
			}
		}
	}
	for _, s := range t.byShape() {
		if free(s.quantity, s.at) && t.nameless(s.at) && (s.quantity == "time" || len(t.header) == 0 || s.quantity == "ph") {
			out[s.quantity], used[s.at] = t.column(s.quantity, s.at), true
			notes = append(notes, fmt.Sprintf("%s taken to be %s by its values", t.label(s.at), s.quantity))
		}
	}
	_, ph := out["ph"]
	_, mv := out["mv"]
	if !ph && !mv {
		return nil, nil, fmt.Errorf("%w: no column of pH or mV among %s (say which with --ph)", ErrNoTable, strings.Join(t.labels(), ", "))
	}
	return out, notes, nil
}

// generic are names that say nothing of what a column holds.
var generic = regexp.MustCompile(`(?i)^(value|reading|signal|meas(ure(d|ment)?)?|y|x|data|channel \d|column \d+)$`)

// nameless reports whether the name of a column leaves open what it is: there is
// none, or it says nothing. A column with a name is what the name says, or is not
// used: pAg lies within 0 to 14 as well.
func (t *table) nameless(at int) bool {
	if at >= len(t.header) {
		return true
	}
	name := strings.TrimSpace(t.header[at])
	return name == "" || generic.MatchString(name)
}

// find is the place of a column by name or by number from 1; −1 for "-".
func (t *table) find(want string) (int, error) {
	if want == "-" {
		return -1, nil
	}
	for i, h := range t.header {
		if strings.EqualFold(strings.TrimSpace(h), strings.TrimSpace(want)) {
			return i, nil
		}
	}
	if n, err := strconv.Atoi(want); err == nil && n >= 1 && n <= t.width() {
		return n - 1, nil
	}
	return 0, fmt.Errorf("no column %q: there are %s", want, strings.Join(t.labels(), ", "))
}

func (t *table) width() int {
	w := 0
	for _, r := range t.rows {
		w = max(w, len(r))
	}
	return w
}

func (t *table) label(at int) string {
	if at < len(t.header) && strings.TrimSpace(t.header[at]) != "" {
		return strings.TrimSpace(t.header[at])
	}
	return fmt.Sprintf("column %d", at+1)
}

func (t *table) labels() []string {
	var out []string
	for i := range t.width() {
		out = append(out, t.label(i))
	}
	return out
}

// units turn what the header says into s and mL.
var units = map[string][]struct {
	name   *regexp.Regexp
	factor float64
}{
	"time": {
		{regexp.MustCompile(`(?i)\bms\b|millisec`), 1e-3},
		{regexp.MustCompile(`(?i)\bmin|_min$`), 60},
		{regexp.MustCompile(`(?i)\bh\b|hour|_h$`), 3600},
		{regexp.MustCompile(`(?i)\bdays?\b|_d$`), 86400},
	},
	"mv": {
		{regexp.MustCompile(`\([vV]\)|/ ?[vV]\b|(?i)\bvolts\b|_v$`), 1e3},
	},
	"volume": {
		{regexp.MustCompile(`(?i)[µμ]l|\bul\b|_ul$|microlit`), 1e-3},
		{regexp.MustCompile(`(\b|_)[lL]\b|(?i)litres?\b|liters?\b`), 1e3},
	},
}

func (t *table) column(q string, at int) column {
	c := column{at: at, unit: 1, name: t.label(at)}
	if at >= len(t.header) {
		return c
	}
	for _, u := range units[q] {
		if u.name.MatchString(t.header[at]) && !(q == "volume" && regexp.MustCompile(`(?i)\bm[lL]\b|_ml|millilit`).MatchString(t.header[at])) {
			c.unit = u.factor
			break
		}
	}
	return c
}

// numeric reports whether most cells of a column hold a number or a time.
func (t *table) numeric(at int) bool {
	n := 0
	for _, r := range t.rows {
		if at < len(r) {
			if _, ok := t.number(r[at]); ok || clockTime(r[at]) {
				n++
			}
		}
	}
	return 2*n > len(t.rows)
}

// shape is what a column looks like.
type shape struct {
	quantity string
	at       int
}

// byShape guesses from the values: what rises evenly is time, what rises from
// nothing in steps is a volume, what stays within pH 0–14 is a pH.
func (t *table) byShape() []shape {
	var out []shape
	for at := range t.width() {
		var v []float64
		for _, r := range t.rows {
			if at < len(r) {
				if x := t.value(r[at], "time"); !math.IsNaN(x) {
					v = append(v, x)
				}
			}
		}
		t.day = 0
		if q := shapeOf(v, len(t.rows)); q != "" {
			out = append(out, shape{q, at})
		}
	}
	slices.SortStableFunc(out, func(a, b shape) int { return strings.Compare(a.quantity, b.quantity) })
	return out
}

func shapeOf(v []float64, rows int) string {
	if len(v) < leastRows || 2*len(v) < rows {
		return ""
	}
	low, high := slices.Min(v), slices.Max(v)
	rising, even := true, true
	var steps []float64
	for i := 1; i < len(v); i++ {
		steps = append(steps, v[i]-v[i-1])
		rising = rising && v[i] >= v[i-1]
	}
	sorted := slices.Sorted(slices.Values(steps))
	mid := sorted[len(sorted)/2]
	for _, s := range steps {
		even = even && s > 0 && math.Abs(s-mid) < 0.5*math.Abs(mid)
	}
	switch {
	case rising && even && (high > 14 || len(v) > 200):
		return "time"
	case rising && v[0] == 0 && high > low:
		return "volume"
	case low >= -0.5 && high <= 14.5:
		return "ph"
	case low < -20 && high < 700:
		return "mv"
	case low > 5 && high < 60 && high-low < 15:
		return "temp"
	}
	return ""
}
