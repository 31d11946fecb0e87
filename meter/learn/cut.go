package learn

import (
	"regexp"
	"slices"
	"strings"

	"example.org/halfdrop/meter/frame"
)

// separators are tried in this order; the first that parts the lines is taken.
var separators = []string{"\t", ";", "|", ",", frame.Blanks}

// numberForm is a number as a column may hold it, with a point or a comma.
var numberForm = regexp.MustCompile(`[+-]?\d+(?:[.,]\d+)?(?:[eE][+-]?\d+)?`)

// shape is how the lines are parted: at a separator, or around their numbers
// when there is none that leaves whole numbers.
type shape struct {
	separator string // "" when the lines are parted around their numbers
	between   []string
	comma     bool
}

// cut parts one line; false when it has not the shape.
func (s shape) cut(line string) ([]string, bool) {
	if s.separator != "" {
		return frame.Columns(line, s.separator[0]), true
	}
	at := numberForm.FindAllStringIndex(line, -1)
	if len(at) != len(s.between)-1 {
		return nil, false
	}
	var cells []string
	from := 0
	for i, a := range at {
		if line[from:a[0]] != s.between[i] {
			return nil, false
		}
		cells = append(cells, line[a[0]:a[1]])
		from = a[1]
	}
	return cells, line[from:] == s.between[len(s.between)-1]
}

// shapeOf is the shape that most of the lines share.
func shapeOf(lines []string) shape {
	for _, sep := range separators {
		s := shape{separator: sep}
		if sep == "," && commasAreMarks(lines) {
			continue
		}
		if n, whole := s.common(lines); n > 1 && whole {
			s.comma = hasCommas(lines) && sep != ","
			return s
		}
	}
	whole := shape{separator: ";"} // one column
	if _, ok := whole.common(lines); ok {
		whole.comma = hasCommas(lines)
		return whole
	}
	return around(lines)
}

// common is the number of columns that most lines have, and whether no cell of
// them hides a number among other letters.
func (s shape) common(lines []string) (columns int, whole bool) {
	count := map[int]int{}
	for _, l := range lines {
		cells, _ := s.cut(l)
		count[len(cells)]++
	}
	for n, times := range count {
		if times > count[columns] || times == count[columns] && n > columns {
			columns = n
		}
	}
	for _, l := range lines {
		cells, _ := s.cut(l)
		if len(cells) != columns {
			continue
		}
		if slices.ContainsFunc(cells, hidden) {
			return columns, false
		}
	}
	return columns, columns > 0
}

var (
	wordsForm = regexp.MustCompile(`^[^\d]*$`)
	cellForm  = regexp.MustCompile(`^(?:[A-Za-z°]{0,5}[:=]?\s?)?[+-]?\d+(?:[.,]\d+)?(?:[eE][+-]?\d+)?\s?(?:\pL{1,2}|°\s?[CF]|mV|pH|%)?$`)
	whenForm  = regexp.MustCompile(`^[\d:./TZ+-]+$|^\d\d?[-. ]\pL{3,}[-. ]\d{2,4}$|^[ap]m$`)
)

// hidden reports whether a cell has a number that is neither alone nor with its
// own unit or label.
func hidden(cell string) bool {
	return !wordsForm.MatchString(cell) && !cellForm.MatchString(cell) && !whenForm.MatchString(cell)
}

// commasAreMarks reports whether the commas of the lines stand within numbers
// only, and a point never does: "7,02".
func commasAreMarks(lines []string) bool {
	marks := 0
	for _, l := range lines {
		left := regexp.MustCompile(`\d,\d`).ReplaceAllString(l, "")
		if strings.Contains(left, ",") || regexp.MustCompile(`\d\.\d`).MatchString(l) {
			return false
		}
		marks += strings.Count(l, ",")
	}
	// "7,02" alone may be two columns; with another separator it is a number.
	return marks > 0 && strings.ContainsAny(strings.Join(lines, ""), ";\t| ") || marks == len(lines)
}

func hasCommas(lines []string) bool {
	return slices.ContainsFunc(lines, regexp.MustCompile(`\d,\d`).MatchString)
}

// around is the shape of lines by what stands between their numbers; that of
// most of them.
func around(lines []string) shape {
	count := map[string]int{}
	best, most := shape{}, 0
	for _, l := range lines {
		s := shape{}
		from := 0
		for _, a := range numberForm.FindAllStringIndex(l, -1) {
			s.between = append(s.between, l[from:a[0]])
			from = a[1]
		}
		s.between = append(s.between, l[from:])
		key := strings.Join(s.between, "\x00")
		if count[key]++; count[key] > most {
			best, most = s, count[key]
		}
	}
	best.comma = hasCommas(lines)
	return best
}
