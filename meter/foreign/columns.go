package foreign

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"example.org/halfdrop/meter/foreign/grid"
)

// Column is a column of a log, and what it was taken for.
type Column struct {
	Number int    `json:"number"` // from 1
	Name   string `json:"name"`
	Use    string `json:"use,omitempty"` // time, ph, mv, volume, drops or temp; empty when it is not used
	Why    string `json:"why,omitempty"` // how that is known, or why it is not used
	factor float64
	offset float64 // after the factor: °C of a column in K or °F
}

// Quantities are what a column can be mapped to.
func Quantities() []string { return []string{"time", "ph", "mv", "volume", "drops", "temp"} }

// Question is what a person has to say before a log can be read: a column that
// may be several things, or one that may be any of several columns.
type Question struct {
	What    string   // the question
	Choices []string // columns by their names, or words for --volume-is
	Flag    string   // that answers it
}

// Error is the question with its choices.
func (q *Question) Error() string {
	return fmt.Sprintf("foreign: %s: %s", q.What, strings.Join(q.Choices, ", "))
}

// Hint is what to say, as flags of the command.
func (q *Question) Hint() string {
	first := q.Choices[0]
	if q.Flag == "--volume-is" {
		return fmt.Sprintf("say so with --volume-is %s", strings.Join(q.Choices, ", or "))
	}
	if n, _, ok := strings.Cut(first, " ("); ok {
		if _, err := strconv.Atoi(n); err == nil {
			first = n
		}
	}
	return fmt.Sprintf("say so with %s, for instance %s %q; a column may be named by its number, and - says that there is none", q.Flag, q.Flag, first)
}

// reader finds out what the columns of a table are.
type reader struct {
	t       *grid.Table
	o       LogOptions
	columns []Column
	says    []grid.Unit // of the name or unit of each
	named   []bool      // the name says something
	of      map[string]int
	dates   int // the column of dates beside one of times of day; −1 for none
	run     int // the run read, from 1; 0 when there is one only
	runs    int
	piled   bool   // the runs stand one below the other
	marks   string // the column that says which run a row is of
	notes   []string
}

func newReader(t *grid.Table, o LogOptions) *reader {
	r := &reader{t: t, o: o, of: map[string]int{}, dates: -1}
	for at := range t.Width() {
		u, ok := grid.Says(t.Label(at))
		if at >= len(t.Header) || strings.TrimSpace(t.Header[at]) == "" {
			ok = false
		}
		if in, has := r.unitBeside(at); has && (!ok || u.Quantity == "") {
			u, ok = in, true
		}
		r.says, r.named = append(r.says, u), append(r.named, ok)
		r.columns = append(r.columns, Column{Number: at + 1, Name: t.Label(at), factor: 1})
	}
	if t.Numbered {
		r.says[0], r.named[0], r.columns[0].Why = grid.Unit{}, true, "counts the rows"
	}
	return r
}

// unitBeside is the unit in the cells of a column, or in those of the next one
// when these hold nothing else.
func (r *reader) unitBeside(at int) (grid.Unit, bool) {
	if text, ok := r.t.CellUnit(at); ok {
		if strings.EqualFold(text, "pH") {
			return grid.Unit{Quantity: "ph", Factor: 1}, true
		}
		if u, ok := grid.UnitOf(text); ok {
			return u, true
		}
	}
	word := ""
	for _, row := range r.t.Rows {
		if at+1 >= len(row) {
			return grid.Unit{}, false
		}
		c := strings.TrimSpace(row[at+1])
		if c == "" || word != "" && c != word {
			return grid.Unit{}, false
		}
		word = c
	}
	if strings.EqualFold(word, "pH") {
		return grid.Unit{Quantity: "ph", Factor: 1}, true
	}
	return grid.UnitOf(word)
}

// read finds the column of each quantity: as told, by name and unit, by shape.
func (r *reader) read() error {
	if err := r.told(); err != nil {
		return err
	}
	r.moments()
	for _, q := range []string{"ph", "mv", "volume", "drops", "time", "temp"} { // the pH tells of several runs
		if err := r.byName(q); err != nil {
			return err
		}
	}
	if err := r.byShape(); err != nil {
		return err
	}
	_, ph := r.of["ph"]
	if _, mv := r.of["mv"]; !ph && !mv {
		return r.none()
	}
	for _, next := range []func() error{r.sized, r.upsideDown, r.shuffled, r.alone, r.below} {
		if err := next(); err != nil {
			return err
		}
	}
	r.explain()
	return nil
}

// none asks for the pH when no column is known to hold it.
func (r *reader) none() error {
	var can []string
	for at := range r.columns {
		if n, moments := r.t.Filled(at); 2*n > len(r.t.Rows) && moments == 0 && !r.taken(at) {
			can = append(can, r.columns[at].Name)
		}
	}
	if len(can) == 0 {
		return fmt.Errorf("foreign: %w: no column of pH or mV among %s (say which with --ph)", ErrNoTable, strings.Join(r.labels(), ", "))
	}
	return &Question{Flag: "--ph", What: "no column says that it holds pH or mV; which one does (--mv for mV)", Choices: can}
}

// told takes what the person says.
func (r *reader) told() error {
	for _, q := range Quantities() {
		want, ok := r.o.Column[q]
		if !ok || want == "" || want == "-" {
			continue
		}
		at, err := r.find(want)
		if err != nil {
			return fmt.Errorf("foreign: %s: %w", q, err)
		}
		if r.taken(at) {
			return fmt.Errorf("foreign: %s: column %q is named for something else as well", q, r.columns[at].Name)
		}
		r.use(q, at, "as given")
	}
	return nil
}

// runOf takes the run that was asked for of several, which lie as the words say.
func (r *reader) runOf(runs int, lie string) error {
	if r.runs, r.run = runs, max(r.o.Run, 1); r.run > runs {
		return fmt.Errorf("foreign: there is no run %d: %s", r.run, lie)
	}
	return nil
}

func (r *reader) taken(at int) bool { return r.columns[at].Use != "" }

// use takes a column for a quantity.
func (r *reader) use(q string, at int, why string) {
	c := &r.columns[at]
	c.Use, c.Why, c.factor = q, why, 1
	r.of[q] = at
	if u := r.says[at]; r.named[at] && u.Quantity == q {
		c.factor = u.Factor
	}
	if q == "temp" {
		switch c.factor {
		case -1: // kelvin
			c.factor, c.offset = 1, -273.15
		case 0: // Fahrenheit
			c.factor, c.offset = 5.0/9, -160.0/9
		}
	}
	if q == "time" && r.serial(at) {
		c.factor = 86400
		c.Why += ", days as a spreadsheet counts them"
	}
}

// serial reports whether a column of numbers named date or time holds days since
// 1900, as spreadsheets count them.
func (r *reader) serial(at int) bool {
	for _, v := range r.t.Values(at) {
		if !math.IsNaN(v) {
			return v > 30000 && v < 80000 && r.columns[at].factor == 1 && regexp.MustCompile(`(?i)date|time|zeit`).MatchString(r.columns[at].Name)
		}
	}
	return false
}

// moments takes columns of times of day and dates, whatever their names.
func (r *reader) moments() {
	if _, told := r.o.Column["time"]; told {
		return
	}
	date, time := -1, -1
	for at := range r.columns {
		n, moments := r.t.Filled(at)
		if r.taken(at) || 2*moments <= len(r.t.Rows) || n == 0 {
			continue
		}
		clocks := 0
		for _, row := range r.t.Rows {
			if at < len(row) && strings.Contains(row[at], ":") {
				clocks++
			}
		}
		switch {
		case clocks > 0 && time < 0:
			time = at
		case clocks == 0 && date < 0:
			date = at
		}
	}
	if time >= 0 && !r.elapsed() {
		r.use("time", time, "holds times of day")
		r.dates = date
		if date >= 0 {
			r.columns[date].Why = "the dates of the times"
		}
	}
}

// elapsed reports whether a column of numbers says that it holds a time: that has
// the fractions of a second, and is taken before one of times of day.
func (r *reader) elapsed() bool { return len(r.candidates("time")) > 0 }

// candidates are the columns whose names say a quantity, and that hold numbers.
func (r *reader) candidates(q string) []int {
	var out []int
	for at := range r.columns {
		n, moments := r.t.Filled(at)
		if q == "time" && 2*moments > n {
			continue // see moments
		}
		if q == "time" && (r.minimum(at) || backwards(r.t.Values(at)) && !falls(r.t.Values(at))) {
			continue
		}
		if least := len(r.t.Rows) / 2; r.named[at] && r.says[at].Quantity == q && !r.taken(at) && (n > least || n >= grid.LeastRows && (q == "volume" || r.paired())) {
			out = append(out, at)
		}
	}
	return out
}

// paired reports whether columns may be filled to different lengths: several runs
// side by side.
func (r *reader) paired() bool {
	n := 0
	for at := range r.columns {
		if r.named[at] && r.says[at].Quantity == "ph" {
			n++
		}
	}
	return n > 1
}

// explain says of the columns that are left why they are not used.
func (r *reader) explain() {
	for at := range r.columns {
		c := &r.columns[at]
		if c.Use != "" || c.Why != "" {
			continue
		}
		n, _ := r.t.Filled(at)
		switch {
		case n == 0:
			c.Why = "holds no numbers"
		case r.named[at] && grid.IsDerived(c.Name):
			c.Why = "computed or a set value, by its name"
		case r.named[at] && r.says[at].Quantity != "":
			c.Why = "another " + Spoken(r.says[at].Quantity)
		default:
			c.Why = "its name is not one that is used"
		}
	}
}

// Spoken is a quantity as it is spoken of.
func Spoken(q string) string {
	return cmp.Or(map[string]string{"ph": "pH", "mv": "mV", "temp": "temperature", "volume": "volume of titrant"}[q], q)
}
