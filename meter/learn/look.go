package learn

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/phrase"
)

// look says what column i can be and what it cannot, and takes the role that
// the lines themselves give it.
func (l *Lesson) look(i int) {
	c := &l.Columns[i]
	if role, why := l.named(i); role != "" {
		c.Role, c.Named = role, true
		c.Can = []Guess{{role, why}}
		return
	}
	v, decimals, ok := c.values(l.shape.comma)
	if !ok {
		c.Role, c.Named = frame.RoleIgnore, true
		c.Can = []Guess{{frame.RoleIgnore, "it is not a number"}}
		if words := statuses(c.Cells); words != "" {
			c.Role, c.Can = frame.RoleStatus, []Guess{{frame.RoleStatus, "it says " + words}}
		}
		return
	}
	g := numbers{v: v, decimals: decimals}
	g.measure()
	c.Fro = g.fro()
	c.Can, c.Cannot = g.guesses()
}

// named is the role that the words in and beside a column give it.
func (l *Lesson) named(i int) (frame.Role, string) {
	c := l.Columns[i]
	if isWhen(c.Cells) {
		return frame.RoleTime, "it is a date or a time"
	}
	if len(c.Cells) == 0 || !numberForm.MatchString(c.Cells[0]) {
		return "", ""
	}
	if l.shape.separator == "" {
		if role := roleOf(l.shape.between[i], false); role != "" {
			return role, fmt.Sprintf("%q comes before it", strings.TrimSpace(l.shape.between[i]))
		}
		if role := roleOf(l.shape.between[i+1], true); role != "" {
			return role, fmt.Sprintf("%q comes after it", strings.TrimSpace(l.shape.between[i+1]))
		}
		return "", ""
	}
	own := strings.TrimSpace(numberForm.ReplaceAllString(c.Cells[0], ""))
	if role := roleOf(own, true); role != "" {
		return role, fmt.Sprintf("%q comes with it", own)
	}
	if !numberForm.MatchString(l.Columns[0].Cells[0]) { // else the words of the line are units
		if role := roleOf(l.word(i-1), false); role != "" {
			return role, fmt.Sprintf("%q comes before it", l.word(i-1))
		}
	}
	if role := roleOf(l.word(i+1), true); role != "" {
		return role, fmt.Sprintf("%q comes behind it", l.word(i+1))
	}
	return "", ""
}

// word is what a column says in every line, where that is a word.
func (l *Lesson) word(i int) string {
	if i < 0 || i >= len(l.Columns) || !constant(l.Columns[i].Cells) || numberForm.MatchString(l.Columns[i].Cells[0]) {
		return ""
	}
	return l.Columns[i].Cells[0]
}

// roleOf is the role that a word gives to the number beside it.
func roleOf(word string, unit bool) frame.Role {
	w := strings.ToLower(strings.Trim(word, " :=()[],;"))
	if unit && len(w) == 1 {
		return map[string]frame.Role{"c": frame.RoleC, "f": frame.RoleF, "k": frame.RoleK}[w]
	}
	return roleWords[w]
}

var roleWords = map[string]frame.Role{"ph": frame.RolePH, "ph-value": frame.RolePH, "ph-wert": frame.RolePH, "mv": frame.RoleMV,
	"°c": frame.RoleC, "degc": frame.RoleC, "deg c": frame.RoleC, "°f": frame.RoleF, "degf": frame.RoleF, "deg f": frame.RoleF}

func constant(cells []string) bool {
	return len(cells) > 0 && !slices.ContainsFunc(cells, func(s string) bool { return s != cells[0] })
}

func isWhen(cells []string) bool {
	for _, c := range cells {
		if !whenForm.MatchString(c) || !strings.ContainsAny(c, ":/-") || strings.HasPrefix(c, "-") || numberForm.FindString(c) == c {
			return false
		}
	}
	return len(cells) > 0
}

// statuses are the words of a column when the program knows one of them.
func statuses(cells []string) string {
	var words []string
	known := false
	for _, c := range cells {
		if !slices.Contains(words, c) && len(words) < 3 {
			words = append(words, c)
		}
		switch strings.ToLower(c) {
		case "stable", "unstable", "st", "us", "stab", "ready", "not ready", "drift", "stabil", "instabil":
			known = true
		}
	}
	if !known {
		return ""
	}
	return strings.Join(words, ", ")
}

// numbers are the values of one column.
type numbers struct {
	v        []float64
	decimals int

	low, high float64
	rises     int // steps up
	falls     int
	sameSteps bool // all steps are alike
	whole     bool // whole numbers
}

func (n *numbers) measure() {
	n.low, n.high, n.whole, n.sameSteps = n.v[0], n.v[0], n.decimals == 0, true
	for i, v := range n.v {
		n.low, n.high = min(n.low, v), max(n.high, v)
		if i == 0 {
			continue
		}
		switch step := v - n.v[i-1]; {
		case step > 0:
			n.rises++
		case step < 0:
			n.falls++
		}
		n.sameSteps = n.sameSteps && math.Abs((v-n.v[i-1])-(n.v[1]-n.v[0])) < 1e-9
	}
}

// climbs reports whether the numbers only ever rise, and how they do it.
func (n *numbers) climbs() bool {
	return n.falls == 0 && n.rises >= 3 && n.rises*4 >= (len(n.v)-1)*3 || n.falls == 0 && n.rises > 0 && n.high-n.low >= 0.75
}

// fro reports whether the numbers go back and forth as those of channels do.
func (n *numbers) fro() bool {
	return n.whole && n.low >= 0 && n.high <= 16 && n.rises >= 2 && n.falls >= 2
}

// guesses are what the numbers may be and what they cannot be, with reasons. It
// is for a person to decide: nothing here is taken as said.
func (n *numbers) guesses() (can, cannot []Guess) {
	is := spread(n.low, n.high)
	put := func(ok bool, role frame.Role, why string) {
		if ok {
			can = append(can, Guess{role, why})
		} else {
			cannot = append(cannot, Guess{role, why})
		}
	}
	if n.climbs() {
		why := fmt.Sprintf("it only climbs, %s", is)
		if n.sameSteps && n.v[1] > n.v[0] {
			why = fmt.Sprintf("it climbs by %g each line", math.Round((n.v[1]-n.v[0])*1e6)/1e6)
		}
		put(true, frame.RoleTime, why+", as a time or a volume does")
		put(false, frame.RoleC, why)
	}
	switch inPH := n.low >= frame.MinPH && n.high <= frame.MaxPH; {
	case !inPH:
		put(false, frame.RolePH, is+", and a pH lies between 0 and 14")
	case n.whole:
		put(false, frame.RolePH, "whole numbers: a pH has decimals")
	default:
		put(true, frame.RolePH, fmt.Sprintf("%s, %s", is, phrase.Counted(n.decimals, "decimal")))
	}
	if !n.climbs() {
		put(n.low >= frame.MinTemp && n.high <= frame.MaxTemp && n.high-n.low < 5, frame.RoleC, is+"; a beaker is at 0 to 60 °C")
		if n.low >= 32 && n.high <= 140 && n.high-n.low < 9 {
			put(true, frame.RoleF, fmt.Sprintf("%s °F is %.1f °C", is, (n.low-32)/1.8))
		}
		if n.low >= 273 && n.high <= 334 && n.high-n.low < 5 {
			put(true, frame.RoleK, fmt.Sprintf("%s K is %.1f °C", is, n.low-273.15))
		}
		if math.Abs(n.low) <= 1000 && math.Abs(n.high) <= 1000 && n.decimals <= 2 {
			put(true, frame.RoleMV, is+"; an electrode gives +400 to -400 mV")
		}
	}
	if n.fro() {
		can = append([]Guess{{frame.RoleChannel, is + ", whole numbers that go back and forth"}}, can...)
	} else if n.whole && n.low >= 1 && n.high <= 16 {
		put(true, frame.RoleChannel, is+", whole numbers")
	}
	can = append(can, Guess{frame.RoleIgnore, "something else: it is ignored"})
	return can, cannot
}
