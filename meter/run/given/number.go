package given

import (
	"regexp"
	"strconv"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/spot"
)

// An addition has one number everywhere: that of its entry, 1 for the first put on
// record, those withdrawn later counted. Coach and faults count only what is in the
// beaker, and are put right here before anybody reads them.

var additionNumber = regexp.MustCompile(`addition (\d+)`)

// entered puts the numbers of entries into words that count additions in force.
func (l List) entered(text string) string {
	return additionNumber.ReplaceAllStringFunc(text, func(m string) string {
		k, _ := strconv.Atoi(additionNumber.FindStringSubmatch(m)[1])
		for i, en := range l {
			if !en.Undone {
				k--
			}
			if k == 0 && !en.Undone {
				return "addition " + strconv.Itoa(i+1)
			}
		}
		return m
	})
}

// Numbered is an advice that names additions by their entries.
func (l List) Numbered(a coach.Advice) coach.Advice {
	if len(l) == l.Count() {
		return a
	}
	list := append([]coach.Mistake(nil), a.Mistakes...)
	for i := range list {
		list[i].Name = l.entered(list[i].Name)
	}
	a.Mistakes = list
	return a
}

// NumberedFindings are findings that name additions by their entries.
func (l List) NumberedFindings(list []spot.Finding) []spot.Finding {
	if len(l) == l.Count() {
		return list
	}
	for i := range list {
		list[i].Evidence = l.entered(list[i].Evidence)
	}
	return list
}
