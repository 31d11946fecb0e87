package foreign

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/foreign/grid"
	"example.org/halfdrop/meter/foreign/heading"
	"example.org/halfdrop/meter/phrase"
)

// Log is the log of another program: a table of readings, and of volumes when
// it has them.
type Log struct {
	Reading []Column          // every column, and what it was taken for
	Columns map[string]string // what each column used was found to be, by its name or number
	Rows    []Row
	Notes   []string      // what a person should know of it
	Facts   []string      // lines above the table that name something: "Sample volume (ml) 50"
	Known   heading.Known // strength and sample, where the lines above say them
	Head    [][]string
	HeadAt  []int  // lines of the file that Head shows
	SetOff  string // how the columns are set off, in words
	Turned  bool   // the table lay on its side
	Run     int    // which of several runs side by side this is; 0 for the only one
	Runs    int
	Piled   bool   // they stand one below the other, not side by side
	Marked  string // the column that says which of them a row is of
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
	Volume VolumeKind // what the volume counts; found out when empty
	DropML float64    // mL of a drop, for a column of drops; 0.05 when 0
	Run    int        // of several runs side by side, from 1; the first when 0
}

// ErrNoTable is returned when a file holds no table of numbers.
var ErrNoTable = errors.New("no table of numbers was found")

// headRows is how many rows show how a log was read.
const headRows = 5

// ReadLog reads a table of comma, semicolon, tab, bar or space separated columns,
// with decimal points or commas, with a header or without, upright or on its
// side. What only a person can say is a *Question; the log that comes with it has
// its columns and first rows, and no readings.
func ReadLog(in io.Reader, o LogOptions) (*Log, error) {
	lines, err := grid.ReadLines(in)
	if err != nil {
		return nil, fmt.Errorf("foreign: %w", err)
	}
	if what := grid.Foreign(lines); what != "" {
		return nil, fmt.Errorf("foreign: %w: %s", ErrNoTable, what)
	}
	named, later, keyed := grid.Unkeyed(lines)
	if keyed {
		lines = named
	}
	t, ok := grid.Find(lines)
	if !ok {
		return nil, fmt.Errorf("foreign: %w (a line a row, columns separated by comma, semicolon or tab)", ErrNoTable)
	}
	if later { // the lines of the file, and not those with a head between
		for _, at := range [][]int{t.Line, t.Lost} {
			for i := range at {
				at[i]--
			}
		}
	}
	r := newReader(t, o)
	err = r.read()
	l := &Log{Notes: r.notes, Facts: t.Facts, Columns: map[string]string{}, Reading: r.columns, Turned: t.Turned, Run: r.run, Runs: r.runs, Piled: r.piled, Marked: r.marks,
		SetOff: map[rune]string{'\t': "tabs", ';': "semicolons", ',': "commas", '|': "bars", ' ': "blanks"}[t.Sep]}
	for i := range min(headRows, len(t.Rows)) {
		l.Head, l.HeadAt = append(l.Head, t.Rows[i]), append(l.HeadAt, t.Line[i])
	}
	if err != nil {
		return l, err
	}
	l.Notes = nil // those of the columns come with the others
	for q, at := range r.of {
		l.Columns[q] = r.columns[at].Name
	}
	if o.Run > 1 && l.Runs == 0 {
		return nil, fmt.Errorf("foreign: there is no run %d: the table has one", o.Run)
	}
	if err := l.fill(r); err != nil {
		l.Rows = nil
		return l, err
	}
	l.look()
	if len(l.Rows) == 0 {
		return nil, fmt.Errorf("foreign: %w with a pH in it (say which column with --ph)", ErrNoTable)
	}
	return l, nil
}

// column is the values of a quantity in its unit; NaN where there are none.
func (r *reader) column(q string) ([]float64, bool) {
	at, ok := r.of[q]
	if !ok {
		return nil, false
	}
	c := r.columns[at]
	if _, clocks := r.t.Filled(at); q == "time" && clocks > 0 {
		cells, dates := make([]string, len(r.t.Rows)), make([]string, 0)
		for i, row := range r.t.Rows {
			if at < len(row) {
				cells[i] = row[at]
			}
			if r.dates >= 0 {
				date := ""
				if r.dates < len(row) {
					date = row[r.dates]
				}
				dates = append(dates, date)
			}
		}
		v, undecided := grid.Moments(cells, dates)
		if undecided {
			r.notes = append(r.notes, "the dates may have the day or the month first: taken as day first")
		}
		return v, true
	}
	if q == "time" && c.factor == 1 && !r.timed(at) {
		r.notes = append(r.notes, fmt.Sprintf("%q has no unit: taken as seconds (a heading such as time/min says otherwise)", c.Name))
	}
	v := r.t.Values(at)
	for i := range v {
		v[i] = c.factor*v[i] + c.offset
	}
	return v, true
}

// timed reports whether a column of times says its unit, in its name or in its cells.
func (r *reader) timed(at int) bool {
	_, named := grid.UnitIn(r.columns[at].Name)
	_, beside := r.t.CellUnit(at)
	return named || beside
}

// fill turns the columns of the table into rows.
func (l *Log) fill(r *reader) error {
	at := func(v []float64, i int) float64 {
		if i < len(v) {
			return v[i]
		}
		return math.NaN()
	}
	t, _ := r.column("time")
	ph, direct := r.column("ph")
	mv, _ := r.column("mv")
	temp, _ := r.column("temp")
	ml, volume := r.column("volume")
	if drops, ok := r.column("drops"); ok && !volume {
		drop, from := r.o.DropML, "--drop-ul says otherwise"
		if said, line := heading.DropIn(l.Facts); drop == 0 && said > 0 {
			drop, from = said, "by the line "+strconv.Quote(line)
		}
		drop = cmp.Or(drop, 0.05)
		for i := range drops {
			drops[i] *= drop
		}
		ml, volume = drops, true
		l.note("a drop is taken as %s mL (%s)", phrase.Number(drop), from)
	}
	if volume {
		name := l.Columns["volume"]
		if name == "" {
			name = l.Columns["drops"]
		}
		if err := l.given(ml, ph, name, r.o.Volume); err != nil {
			return err
		}
	}
	if volume && direct && (r.o.Volume == "" || r.o.Volume == TotalVolume) && carry(ml, ph) {
		l.note("each volume stands where it was given, not where it was read: it counts for the readings after it, the last of which is taken")
	}
	bad, first := 0, math.NaN()
	for i := range r.t.Rows {
		row := Row{Line: r.t.Line[i], T: at(t, i), PH: at(ph, i), ML: at(ml, i), Temp: at(temp, i)}
		if v := at(mv, i); !direct && !math.IsNaN(v) {
			row.PH = nernst.UncalibratedPH(v, chem.Celsius(row.Temp))
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
	l.Notes = append(l.Notes, r.notes...)
	if l.Runs > 1 {
		l.note("%d runs %s: this is run %d (--run says which)", l.Runs, l.Lie(), l.Run)
	}
	l.remark(r.t)
	if bad > 0 && (l.Runs < 2 || l.Piled) {
		l.note("%d lines have no pH and are left out", bad)
	}
	if !direct {
		l.note("pH computed from mV with the theoretical slope and zero at pH 7: it is off by as much as electrode and meter are")
	}
	l.known()
	return nil
}

// Lie says how several runs lie.
func (l *Log) Lie() string {
	switch {
	case l.Marked != "":
		return fmt.Sprintf("told apart by %q", l.Marked)
	case l.Piled:
		return "one below the other"
	}
	return "side by side"
}

// remark notes what was done to the table to read it.
func (l *Log) remark(t *grid.Table) {
	if t.Joined {
		l.note("decimal commas stand between commas: two cells were read as one number")
	}
	if t.Numbered {
		l.note("the first column has no name and counts the rows: the names belong to those after it")
	}
	for _, o := range t.Others {
		l.note("another table, of %d rows from line %d on, is left out", o.Rows, o.Line)
	}
	if t.Sum > 0 {
		l.note("line %d sums up the rows above it, and is left out", t.Sum)
	}
	if len(t.Lost) > 0 {
		l.list("no row of numbers, left out", t.Lost)
	}
}

// known reads strength and sample from the lines above, and from the name of the volume.
func (l *Log) known() {
	lines := append(slices.Clone(l.Facts), l.Columns["volume"])
	k, notes := heading.From(lines)
	if heading.AcidName.MatchString(l.Columns["volume"]) != heading.BaseName.MatchString(l.Columns["volume"]) {
		k.Acid, k.Base = heading.AcidName.MatchString(l.Columns["volume"]), heading.BaseName.MatchString(l.Columns["volume"])
	}
	l.Known, l.Notes = k, append(l.Notes, notes...)
}

func (l *Log) note(format string, a ...any) { l.Notes = append(l.Notes, fmt.Sprintf(format, a...)) }
