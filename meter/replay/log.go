package replay

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
)

// Log is the log of another program: a table of readings, and of volumes when
// it has them.
type Log struct {
	Columns map[string]string // what each column used was found to be, by its name or number
	Rows    []Row
	Notes   []string // what a person should know of it
	Facts   []string // lines above the table that name something: "Sample volume (ml) 50"
}

// Row is one line of a log. What it does not have is NaN.
type Row struct {
	Line int     // in the file, 1 for the first
	T    float64 // s since the first row
	PH   float64
	ML   float64 // titrant given until then
	Temp float64 // °C
}

// LogOptions say what the columns are, where that cannot be seen.
type LogOptions struct {
	// Column maps a quantity (time, ph, mv, volume, drops, temp) to the name or
	// the number, from 1, of its column; "-" says that there is none.
	Column map[string]string
	DropML float64 // mL of a drop, for a column of drops; 0.05 when 0
}

// ErrNoTable is returned when a file holds no table of numbers.
var ErrNoTable = errors.New("no table of numbers was found")

// longestLog is how many lines of a log are read.
const longestLog = 5_000_000

// ReadLog reads a table of comma, semicolon, tab or space separated columns,
// with decimal points or commas, with a header or without.
func ReadLog(r io.Reader, o LogOptions) (*Log, error) {
	lines, err := readLines(r)
	if err != nil {
		return nil, fmt.Errorf("replay: %w", err)
	}
	t, ok := findTable(lines)
	if !ok {
		return nil, fmt.Errorf("replay: %w (a line a row, columns set off by comma, semicolon or tab)", ErrNoTable)
	}
	cols, notes, err := t.columns(o)
	if err != nil {
		return nil, fmt.Errorf("replay: %w", err)
	}
	l := &Log{Notes: notes, Facts: t.facts, Columns: map[string]string{}}
	for q, c := range cols {
		l.Columns[q] = c.name
	}
	l.fill(t, cols, o)
	l.look()
	if len(l.Rows) == 0 {
		return nil, fmt.Errorf("replay: %w with a pH in it (say which column with --ph)", ErrNoTable)
	}
	return l, nil
}

func readLines(r io.Reader) ([]string, error) {
	s := bufio.NewScanner(r)
	s.Buffer(make([]byte, 1<<16), 1<<20)
	var out []string
	for s.Scan() && len(out) < longestLog {
		out = append(out, strings.ToValidUTF8(strings.TrimPrefix(s.Text(), "\ufeff"), "?"))
	}
	return out, s.Err()
}

// fill turns the cells of the table into rows.
func (l *Log) fill(t *table, cols map[string]column, o LogOptions) {
	drop := o.DropML
	if drop == 0 {
		drop = 0.05
	}
	first := math.NaN()
	bad := 0
	for i, cells := range t.rows {
		get := func(q string) float64 {
			c, ok := cols[q]
			if !ok || c.at >= len(cells) {
				return math.NaN()
			}
			return c.unit * t.value(cells[c.at], q)
		}
		row := Row{Line: t.line[i], T: get("time"), PH: get("ph"), ML: get("volume"), Temp: get("temp")}
		if d := get("drops"); math.IsNaN(row.ML) && !math.IsNaN(d) {
			row.ML = d * drop
		}
		if mv := get("mv"); math.IsNaN(row.PH) && !math.IsNaN(mv) {
			row.PH = (&item{v: mv, temp: row.Temp, mv: true}).ph()
		}
		if math.IsNaN(row.PH) {
			bad++
			continue
		}
		if math.IsNaN(first) {
			first = row.T
		}
		row.T -= first
		l.Rows = append(l.Rows, row)
	}
	if bad > 0 {
		l.note("%d lines have no pH and are left out", bad)
	}
	if _, ok := cols["ph"]; !ok {
		l.note("pH computed from mV by the slope of theory, with a zero at pH 7")
	}
}

func (l *Log) note(format string, a ...any) { l.Notes = append(l.Notes, fmt.Sprintf(format, a...)) }

// fewNotes is how many rows are named one by one.
const fewNotes = 5

// look reports what is odd about volumes and times.
func (l *Log) look() {
	var back, again, wild, late []int
	for i := 1; i < len(l.Rows); i++ {
		a, b := l.Rows[i-1], l.Rows[i]
		if b.ML < a.ML {
			back = append(back, b.Line)
		}
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
	l.Rows = slices.DeleteFunc(l.Rows, func(r Row) bool { return r.PH < -1 || r.PH > 15 })
	l.list("the volume goes backwards", back)
	l.list("the time goes backwards", late)
	l.list("the pH cannot be one, and is left out", wild)
	if l.stepped() {
		l.note("%d readings at volumes already read: the last of each counts", len(again))
	} else {
		l.list("the volume of the line before again: the later reading counts", again)
	}
}

func (l *Log) list(what string, lines []int) {
	if len(lines) == 0 {
		return
	}
	var names []string
	for _, n := range lines[:min(len(lines), fewNotes)] {
		names = append(names, fmt.Sprint(n))
	}
	more := ""
	if len(lines) > fewNotes {
		more = fmt.Sprintf(" and %d more", len(lines)-fewNotes)
	}
	l.note("line %s%s: %s", strings.Join(names, ", "), more, what)
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
func (l *Log) HasVolume() bool { return len(l.Rows) > 0 && !math.IsNaN(l.Rows[0].ML) }

// Point is a reading at a volume.
type Point struct{ ML, PH float64 }

// Points are the last readings at each volume, in order of volume. A row whose
// volume lies below one before it is left out.
func (l *Log) Points() []Point {
	var out []Point
	for _, r := range l.Rows {
		switch n := len(out); {
		case math.IsNaN(r.ML):
		case n > 0 && r.ML == out[n-1].ML:
			out[n-1].PH = r.PH
		case n == 0 || r.ML > out[n-1].ML:
			out = append(out, Point{r.ML, r.PH})
		}
	}
	return out
}
