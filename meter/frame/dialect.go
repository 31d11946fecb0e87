package frame

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"example.org/halfdrop/meter/phrase"
)

// Role is what a column of a dialect is.
type Role string

// The roles of columns, as dialect files spell them.
const (
	RolePH      Role = "pH"
	RoleMV      Role = "mV"
	RoleC       Role = "°C"
	RoleF       Role = "°F"
	RoleK       Role = "K"
	RoleChannel Role = "channel"
	RoleTime    Role = "time"
	RoleStatus  Role = "status"
	RoleIgnore  Role = "ignore"
)

// roles are all roles.
var roles = []Role{RolePH, RoleMV, RoleC, RoleF, RoleK, RoleChannel, RoleTime, RoleStatus, RoleIgnore}

// Blanks is the Separator of columns that blanks keep apart.
const Blanks = " "

// Spec is what a dialect says about the lines of one meter, with its keys in a dialect
// file. The zero value says nothing: the words and units of the lines are read.
type Spec struct {
	Name      string   `toml:"name"`           // of the meter, for messages
	Drop      []string `toml:"drop"`           // names of control bytes that are left out wherever they stand: "FF", "XON"
	Skip      []string `toml:"skip"`           // patterns of lines that are passed over in silence
	JoinFrom  string   `toml:"join_from"`      // pattern of the first line of a record that is joined, with blanks, into one line
	JoinTo    string   `toml:"join_to"`        // pattern of its last line
	JoinLines int      `toml:"join_lines"`     // or how many lines a record has
	Checksum  string   `toml:"checksum"`       // "xor" or "sum": two hexadecimal digits at the end, over the bytes before them
	SumAfter  string   `toml:"checksum_after"` // what stands between the bytes that are summed and the digits

	Months []string          `toml:"months"` // twelve names of months
	Words  map[string]string `toml:"words"`  // words of the meter, and the words they stand for

	Separator string `toml:"separator"` // of the columns: , ; | a tab, or Blanks
	Columns   []Role `toml:"columns"`   // what they are; all of them must be there
	Pattern   string `toml:"pattern"`   // a regular expression with the groups ph, mv, temp, status and channel, for the whole line
	Comma     bool   `toml:"-"`         // numbers of columns or pattern have a comma as decimal mark
	TempUnit  string `toml:"temp_unit"` // C, F or K, of the group temp; C when it is empty
	Channel   string `toml:"channel"`   // the channel that is read
}

// Dialect reads the lines of a meter in the way that its owner has described.
type Dialect struct {
	spec      Spec
	pattern   *regexp.Regexp
	skip      []*regexp.Regexp
	from, to  *regexp.Regexp
	drop      string // control bytes
	words     *strings.Replacer
	sep, mark byte
}

// SpecError is a fault in a Spec, with the key of the dialect file that is at fault.
type SpecError struct {
	Key string
	Err error
}

// Error says what is wrong, without the key.
func (e *SpecError) Error() string { return e.Err.Error() }

// Unwrap is what is wrong.
func (e *SpecError) Unwrap() error { return e.Err }

func faulty(key, format string, args ...any) error {
	return &SpecError{Key: key, Err: fmt.Errorf(key+": "+format, args...)}
}

// groups are the named groups that a pattern may have.
var groups = []string{"ph", "mv", "temp", "status", "channel"}

// Limits of a Spec, far above what any meter needs.
const (
	maxPattern = 500
	maxSkips   = 50
	maxWords   = 100
	maxJoin    = 40
)

// NewDialect checks a description. Errors are *SpecError.
func NewDialect(s Spec) (*Dialect, error) {
	d := &Dialect{spec: s, mark: '.'}
	if s.Comma {
		d.mark = ','
	}
	for _, step := range []func() error{d.bytes, d.records, d.layout, d.vocabulary} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	return d, nil
}

// bytes checks what is done with the bytes of a line.
func (d *Dialect) bytes() error {
	for _, name := range d.spec.Drop {
		c, ok := controlNames[strings.ToUpper(name)]
		if !ok {
			return faulty("drop", "%q is not a control byte; known are NUL, FF, XON, XOFF, STX, ETX and their like", name)
		}
		d.drop += string(rune(c))
	}
	switch d.spec.Checksum {
	case "", "xor", "sum":
	default:
		return faulty("checksum", "%q is neither \"xor\" nor \"sum\"", d.spec.Checksum)
	}
	if d.spec.Checksum == "" && d.spec.SumAfter != "" {
		return faulty("checksum_after", "has a meaning only with checksum")
	}
	return nil
}

// records checks which lines are passed over, and which are joined.
func (d *Dialect) records() (err error) {
	if len(d.spec.Skip) > maxSkips {
		return faulty("skip", "%d patterns; at most %d are possible", len(d.spec.Skip), maxSkips)
	}
	for _, p := range d.spec.Skip {
		re, err := compile("skip", p)
		if err != nil {
			return err
		}
		d.skip = append(d.skip, re)
	}
	if d.spec.JoinFrom != "" {
		if d.from, err = compile("join_from", d.spec.JoinFrom); err != nil {
			return err
		}
	}
	if d.spec.JoinTo != "" {
		if d.to, err = compile("join_to", d.spec.JoinTo); err != nil {
			return err
		}
	}
	switch n := d.spec.JoinLines; {
	case n < 0 || n == 1 || n > maxJoin:
		return faulty("join_lines", "%d lines; 2 to %d are possible", n, maxJoin)
	case d.spec.JoinTo != "" && d.spec.JoinFrom == "":
		return faulty("join_to", "has a meaning only with join_from")
	case d.spec.JoinFrom != "" && d.spec.JoinTo == "" && n == 0:
		return faulty("join_from", "join_to or join_lines must say where a record ends")
	case d.spec.JoinTo != "" && n != 0:
		return faulty("join_lines", "either join_to or join_lines says where a record ends, not both")
	}
	return nil
}

// compile compiles a pattern of limited length.
func compile(key, pattern string) (*regexp.Regexp, error) {
	if len(pattern) > maxPattern {
		return nil, faulty(key, "a pattern of %d bytes; at most %d are possible", len(pattern), maxPattern)
	}
	re, err := regexp.Compile(pattern)
	if err != nil {
		return nil, faulty(key, "%w", err)
	}
	return re, nil
}

// layout checks columns or pattern.
func (d *Dialect) layout() error {
	s := d.spec
	switch {
	case s.Pattern != "" && len(s.Columns) > 0:
		return faulty("columns", "either columns or a pattern, not both")
	case s.Pattern != "":
		return d.checkPattern()
	case len(s.Columns) > 0:
		return d.checkColumns()
	case s.Separator != "":
		return faulty("separator", "has a meaning only with columns")
	case s.Comma:
		return faulty("decimal", "has a meaning only with columns or a pattern")
	case s.TempUnit != "":
		return faulty("temp_unit", "has a meaning only with a pattern")
	}
	return nil
}

func (d *Dialect) checkPattern() (err error) {
	if d.pattern, err = compile("pattern", `^(?:`+d.spec.Pattern+`)$`); err != nil {
		return err
	}
	for _, g := range d.pattern.SubexpNames() {
		if g != "" && !slices.Contains(groups, g) {
			return faulty("pattern", "group %q is not one of %s", g, strings.Join(groups, ", "))
		}
	}
	if d.pattern.SubexpIndex("ph") < 0 && d.pattern.SubexpIndex("mv") < 0 {
		return faulty("pattern", "a group (?P<ph>…) or (?P<mv>…) is needed")
	}
	switch d.spec.TempUnit {
	case "", "C", "F", "K":
	default:
		return faulty("temp_unit", "%q is not C, F or K", d.spec.TempUnit)
	}
	if d.spec.Separator != "" {
		return faulty("separator", "has a meaning only with columns")
	}
	return nil
}

func (d *Dialect) checkColumns() error {
	s := d.spec
	if s.Separator == "" {
		return faulty("columns", "the separator is missing, such as separator = \",\"")
	}
	if len(s.Separator) != 1 || !strings.Contains(",;|\t ", s.Separator) {
		return faulty("separator", "%q is not \",\", \";\", \"|\", \"\\t\" or \" \"", s.Separator)
	}
	if d.sep = s.Separator[0]; s.Comma && d.sep == ',' {
		return faulty("decimal", "a comma as decimal mark and as separator")
	}
	if s.TempUnit != "" {
		return faulty("temp_unit", "the column says its unit: °C, °F or K")
	}
	if len(s.Columns) > 64 {
		return faulty("columns", "%d columns; 64 are possible", len(s.Columns))
	}
	count := map[Role]int{}
	for _, r := range s.Columns {
		if !slices.Contains(roles, r) {
			return faulty("columns", "%q is not one of %s", string(r), roleList())
		}
		if r == RoleF || r == RoleK {
			r = RoleC
		}
		if count[r]++; count[r] > 1 && r != RoleIgnore && r != RoleTime && r != RoleStatus {
			return faulty("columns", "two columns are called %s", string(r))
		}
	}
	if count[RolePH]+count[RoleMV] == 0 {
		return faulty("columns", "one of them must be pH or mV")
	}
	return nil
}

func roleList() string {
	names := phrase.Each(roles, func(r Role) string { return string(r) })
	return strings.Join(names, ", ")
}

// vocabulary checks words and months, and the name of the channel.
func (d *Dialect) vocabulary() error {
	if n := len(d.spec.Months); n != 0 && n != 12 {
		return faulty("months", "%d names; it needs twelve", n)
	}
	if len(d.spec.Words) > maxWords {
		return faulty("words", "%d words; %d are possible", len(d.spec.Words), maxWords)
	}
	var list []string
	for from, to := range d.spec.Words {
		if _, known := words[strings.ToLower(to)]; !known || from == "" {
			return faulty("words", "%q is not a word that this program knows, such as pH, stable or °C", to)
		}
		list = append(list, from)
	}
	slices.SortFunc(list, func(a, b string) int { return len(b) - len(a) }) // the longest first
	var pairs []string
	for _, from := range list {
		pairs = append(pairs, from, d.spec.Words[from])
	}
	english := []string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}
	for i, m := range d.spec.Months {
		if m == "" {
			return faulty("months", "an empty name")
		}
		pairs = append(pairs, m, english[i])
	}
	if pairs != nil {
		d.words = strings.NewReplacer(pairs...)
	}
	if len(d.spec.Channel) > 16 {
		return faulty("channel", "%q is not the name of a channel", d.spec.Channel)
	}
	return nil
}

// Spec is the description that the dialect was made from.
func (d *Dialect) Spec() Spec { return d.spec }
