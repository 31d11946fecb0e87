package learn

import (
	"cmp"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/guard"
	"example.org/halfdrop/meter/phrase"
)

// Wanted is how many lines a lesson takes.
const Wanted = 20

// Line is a line as it came.
type Line struct {
	At   time.Time
	Text []byte // without its terminator
}

// Column is one column of the lines.
type Column struct {
	Cells  []string
	Role   frame.Role // "" until somebody has said, or the line itself does
	Named  bool       // the line itself says what it is
	Can    []Guess    // what it may be, the likeliest first
	Cannot []Guess    // what it cannot be
	Fro    bool       // whole numbers that go back and forth, as channels do: somebody has to say what they are
}

// Guess is a role with a reason.
type Guess struct {
	Role frame.Role
	Why  string
}

// Lesson is what is known of the lines of a meter. Make one with New.
type Lesson struct {
	Columns []Column
	Rows    [][]string // the cells of the lines that have the common shape, in order
	Others  []string   // lines of another shape, each kind once
	Drop    []string   // names of control bytes inside the lines
	Known   bool       // the words and units of the lines say everything
	Channel string     // the channel that stands in the beaker, where there are several

	lines []Line
	shape shape
}

// ErrNoNumbers is a lesson without anything to ask about.
var ErrNoNumbers = errors.New("learn: no line holds a number")

// New looks at lines. The error is ErrNoNumbers.
func New(lines []Line) (*Lesson, error) {
	l := &Lesson{lines: lines}
	l.Drop = inner(lines)
	var texts []string
	for _, line := range lines {
		if s, err := frame.Text(l.cleaned(line.Text)); err == nil && numberForm.MatchString(s) {
			texts = append(texts, s)
		}
	}
	if len(texts) == 0 {
		return nil, ErrNoNumbers
	}
	l.shape = shapeOf(texts)
	n, _ := l.shape.common(texts)
	if l.shape.separator == "" {
		n = len(l.shape.between) - 1
	}
	kinds := map[string]bool{}
	for _, s := range texts {
		cells, ok := l.shape.cut(s)
		if ok && len(cells) == n {
			l.Rows = append(l.Rows, cells)
		} else if kind := digits.ReplaceAllString(s, "0"); !kinds[kind] {
			kinds[kind] = true
			l.Others = append(l.Others, s)
		}
	}
	for i := range n {
		l.Columns = append(l.Columns, Column{Cells: phrase.Each(l.Rows, func(row []string) string { return row[i] })})
	}
	for i := range l.Columns {
		l.look(i)
	}
	l.Known = l.words()
	return l, nil
}

var digits = regexp.MustCompile(`\d+`)

// inner are the control bytes that stand inside the lines.
func inner(lines []Line) (names []string) {
	seen := map[byte]bool{}
	for _, l := range lines {
		for _, c := range l.Text {
			if name := frame.ControlName(c); name != "" && !seen[c] {
				seen[c] = true
				names = append(names, name)
			}
		}
	}
	return names
}

// cleaned is a line without the control bytes that are dropped.
func (l *Lesson) cleaned(line []byte) []byte {
	return slices.DeleteFunc(slices.Clone(line), func(c byte) bool { return frame.ControlName(c) != "" })
}

// words reports whether the lines are read by their own words, so that nothing
// has to be asked.
func (l *Lesson) words() bool {
	read, named := 0, false
	for _, line := range l.lines {
		r, err := frame.Read(line.Text)
		if err == nil && !r.Reading.Flags.Has(meter.Unnamed) {
			read++
			named = named || r.Form.Shape != "a bare number"
		}
	}
	return named && read*2 > len(l.lines)
}

// Say sets what a column is; an empty role takes it back. A role that only one
// column can have moves to it.
func (l *Lesson) Say(column int, role frame.Role) {
	if column < 0 || column >= len(l.Columns) {
		return
	}
	l.Known = false // the person knows better
	for i := range l.Columns {
		if i != column && single(role) && kind(l.Columns[i].Role) == kind(role) {
			l.Columns[i].Role = frame.RoleIgnore
		}
	}
	l.Columns[column].Role = role
}

// single reports whether only one column can have the role.
func single(r frame.Role) bool {
	return r != "" && r != frame.RoleIgnore && r != frame.RoleTime && r != frame.RoleStatus
}

// kind puts the three units of temperature together.
func kind(r frame.Role) frame.Role {
	if r == frame.RoleF || r == frame.RoleK {
		return frame.RoleC
	}
	return r
}

// Missing says what the person has still to say, or nothing.
func (l *Lesson) Missing() string {
	for i, c := range l.Columns {
		if c.Fro && c.Role == "" {
			return fmt.Sprintf("say what column %d is: it goes back and forth, as the numbers of channels do", i+1)
		}
	}
	if slices.ContainsFunc(l.Columns, func(c Column) bool { return c.Role == frame.RolePH || c.Role == frame.RoleMV }) {
		return ""
	}
	return "say which column is the pH, or the mV of the electrode"
}

// Spec is the description of the lines as the person has said it. Columns of
// which nothing was said are left out. The error says what is missing.
func (l *Lesson) Spec(name string) (frame.Spec, error) {
	if missing := l.Missing(); missing != "" {
		return frame.Spec{}, errors.New(missing)
	}
	s := frame.Spec{Name: name, Drop: l.Drop, Comma: l.shape.comma, Channel: l.Channel}
	if l.shape.separator == "" {
		s.Pattern, s.TempUnit = l.pattern()
		return s, nil
	}
	s.Separator = l.shape.separator
	s.Columns = phrase.Each(l.Columns, func(c Column) frame.Role { return cmp.Or(c.Role, frame.RoleIgnore) })
	if s.Comma && s.Separator == "," {
		s.Comma = false
	}
	return s, nil
}

// pattern is the shape of the lines as a regular expression, with groups for
// what is read.
func (l *Lesson) pattern() (pattern, unit string) {
	number := `[+-]?\d+`
	if l.shape.comma {
		number += `(?:,\d+)?`
	} else {
		number += `(?:\.\d+)?`
	}
	number += `(?:[eE][+-]?\d+)?`
	var b strings.Builder
	for i, between := range l.shape.between {
		b.WriteString(regexp.QuoteMeta(between))
		if i == len(l.Columns) {
			break
		}
		group := ""
		switch c := l.Columns[i]; c.Role {
		case frame.RolePH:
			group = "?P<ph>"
		case frame.RoleMV:
			group = "?P<mv>"
		case frame.RoleC, frame.RoleF, frame.RoleK:
			group = "?P<temp>"
			if unit = strings.TrimPrefix(string(c.Role), "°"); unit == "C" {
				unit = ""
			}
		case frame.RoleChannel:
			group = "?P<channel>"
		}
		group = cmp.Or(group, "?:")
		b.WriteString("(" + group + number + ")")
	}
	return b.String(), unit
}

// Outcome is what the lines of the lesson give when they are read as said.
type Outcome struct {
	Lines, Read int
	First       meter.Reading // the first that was read
	Err         error         // why the first that was not is none
	Warmth      string        // why the temperature would not be used
}

// Try reads the lines of the lesson as the person has said.
func (l *Lesson) Try(name string) (Outcome, error) {
	var d *frame.Dialect
	if !l.Known {
		s, err := l.Spec(name)
		if err != nil {
			return Outcome{}, err
		}
		if d, err = frame.NewDialect(s); err != nil {
			return Outcome{}, err
		}
	}
	out := Outcome{Lines: len(l.lines)}
	r, j := d.Reader(), guard.Judge{Channel: l.Channel}
	for _, line := range l.lines {
		res, err := r.Read(line.Text)
		if res, err = j.Take(line.At, res, err); err != nil {
			if out.Err == nil {
				out.Err = err
			}
			continue
		}
		if out.Read++; out.Read == 1 {
			out.First = res.Reading
		}
	}
	out.Warmth = j.Warmth()
	return out, nil
}

// Terminator looks for what ends the lines of a stream in which no CR and no LF
// comes: a byte that comes again and again between pieces that are alike. It is
// "" when there is none.
func Terminator(raw []byte) string {
	for _, c := range []byte{';', 0x03, 0x0c, '|', '/', '#', 0x00, '\t'} {
		parts := strings.Split(string(raw), string(rune(c)))
		if len(parts) < 5 {
			continue
		}
		parts = parts[1 : len(parts)-1] // whole ones
		first, alike := digits.ReplaceAllString(parts[0], "0"), true
		for _, p := range parts {
			alike = alike && digits.ReplaceAllString(p, "0") == first && numberForm.MatchString(p)
		}
		if alike {
			return string(rune(c))
		}
	}
	return ""
}

// values are the numbers of the cells of a column; false when one is none.
func (c *Column) values(comma bool) (out []float64, decimals int, ok bool) {
	for _, cell := range c.Cells {
		n := numberForm.FindString(cell)
		if n == "" {
			return nil, 0, false
		}
		if comma {
			n = strings.Replace(n, ",", ".", 1)
		}
		v, err := strconv.ParseFloat(n, 64)
		if err != nil {
			return nil, 0, false
		}
		_, frac, _ := strings.Cut(n, ".")
		out, decimals = append(out, v), max(decimals, len(frac))
	}
	return out, decimals, len(out) > 0
}

// spread puts the range of a column into words.
func spread(low, high float64) string {
	if low == high {
		return fmt.Sprintf("always %g", low)
	}
	return fmt.Sprintf("%g to %g", low, high)
}
