package electrode

import (
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/journal"
)

// Standards are those for a check when nobody names others: two of the calibration in
// use, on both sides of the aim if there are, the nearer one first, of those that have a
// value at the temperature.
func (l *Line) Standards(aim float64, temp chem.Celsius) []standards.Standard {
	var list []standards.Standard
	if c := l.InUse(); c != nil {
		for _, p := range c.Points {
			if st, err := standards.Labelled(p.Set, p.Standard); err == nil {
				list = append(list, st)
			}
		}
	}
	if len(list) == 0 {
		list, _ = standards.Bracketing(standards.Technical, aim) // the nearest, where none enclose it
	}
	list = slices.DeleteFunc(slices.Clone(list), func(st standards.Standard) bool { _, err := st.PH(temp); return err != nil })
	slices.SortStableFunc(list, func(a, b standards.Standard) int {
		return int(math.Copysign(1, math.Abs(a.Nominal-aim)-math.Abs(b.Nominal-aim)))
	})
	for i := 1; i < len(list); i++ { // one on the other side goes before a nearer one on this side
		if (list[i].Nominal-aim)*(list[0].Nominal-aim) < 0 {
			list[1], list[i] = list[i], list[1]
			break
		}
	}
	return list[:min(2, len(list))]
}

// Named are the standards that somebody names, "7.00, 4.01"; none
// for an empty text. A bare name is looked for in the set of the calibration first.
func (l *Line) Named(text string) (list []standards.Standard, err error) {
	set := standards.Technical
	if c := l.InUse(); c != nil && len(c.Points) > 0 {
		set = c.Points[0].Set
	}
	for _, name := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' || r == ';' }) {
		st, err := standards.Find(name, set)
		if err != nil {
			return nil, err
		}
		list = append(list, st)
	}
	return list, nil
}

// ForJournal are standards as the journal has them.
func ForJournal(list []standards.Standard) []journal.Standard {
	out := make([]journal.Standard, len(list))
	for i, st := range list {
		out[i] = journal.Standard{Name: st.Name, Set: string(st.Set)}
	}
	return out
}

// restsOn reports whether the line in use rests on a standard.
func (l *Line) restsOn(st standards.Standard) bool {
	c := l.InUse()
	return c != nil && slices.ContainsFunc(c.Points, func(p calib.Point) bool { return p.Standard == st.Name && p.Set == st.Set })
}
