package screen_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/screen/screentest"
	"example.org/halfdrop/tui/widget"
)

// learns are the moments at which a person looks at the columns of a meter.
func learns() map[string]screen.Learn {
	keys := []keyrow.Key{{Name: "← →", Short: "column"}, {Name: "p", Short: "pH"}, {Name: "c", Short: "°C"}, {Name: "m", Short: "mV"},
		{Name: "Enter", Short: "keep"}, {Name: "i", Short: "out"}, {Name: "f", Short: "°F"}, {Name: "q", Short: "leave"}, {Name: "?", Short: "keys"}, {Name: "n", Short: "channel"}, {Name: "t", Short: "time"}}
	var seconds, ph []string
	for i := range 20 {
		seconds = append(seconds, fmt.Sprintf("%.1f", 20.5+float64(i)))
		ph = append(ph, fmt.Sprintf("%.2f", 7.02+0.01*float64(i%3)))
	}
	asked := screen.Learn{
		Title: "Learn the meter “corner bench”", Facts: "/dev/ttyUSB0 · 9600 8N1 · 20 lines",
		Sentence: "SAY which column is the pH: go to it with ← and →, then press p",
		Why:      "two numbers come on each line and nobody has named them; nothing is dosed on a guess",
		Columns: []screen.LearnColumn{
			{Is: "time?", Asked: true, Cells: seconds, Can: []string{"a time: it climbs by 1 each line, as a time or a volume does", "something else: it is ignored"},
				Not: []string{"°C: it climbs by 1 each line", "pH: 20.5 to 39.5, and a pH lies between 0 and 14"}},
			{Is: "pH? °C? mV?", Asked: true, Cells: ph, Can: []string{"pH: 7.02 to 7.04, 2 decimals", "°C: 7.02 to 7.04; a beaker is at 0 to 60 °C", "mV: 7.02 to 7.04; an electrode gives +400 to -400 mV", "something else: it is ignored"}},
		}, At: 1, Keys: keys, Set: &widget.Unicode,
	}
	waiting := asked
	waiting.Mood, waiting.Columns, waiting.Facts = screen.LetBe, nil, "/dev/ttyUSB0 · 9600 8N1 · 3 of 20 lines"
	waiting.Sentence, waiting.Why = "LISTEN: 3 of 20 lines have come", "let the meter send as it normally does; Enter continues with fewer"
	said := asked
	said.Mood, said.Read = screen.AllSet, "read so: pH 7.02 (20 of 20 lines)"
	said.Sentence, said.Why = "KEEP it with Enter, or go on", "column 1 was not named and is left out"
	said.Columns = append([]screen.LearnColumn(nil), asked.Columns...)
	said.Columns[1].Is, said.Columns[1].Asked = "pH", false
	many := asked
	many.Columns = nil
	for i := range 12 {
		c := asked.Columns[i%2]
		c.Sure = i == 3
		many.Columns = append(many.Columns, c)
	}
	many.At = 9
	return map[string]screen.Learn{"asked": asked, "waiting": waiting, "said": said, "many columns": many, "nothing": {Set: &widget.Unicode}}
}

func TestLearn(t *testing.T) {
	for _, name := range []string{"asked", "waiting", "said", "many columns"} {
		screentest.Goldens(t, name, func(w, h int) string { return screen.DrawLearn(learns()[name], w, h) })
	}
}

// No size breaks the screen, with ASCII nothing else is drawn, and what to press
// is always there.
func TestLearnAnySize(t *testing.T) {
	for name, st := range learns() {
		screentest.AnySize(t, name, func(set *widget.Set, w, h int) string {
			st.Set = set
			out := screen.DrawLearn(st, w, h)
			if name == "asked" && w >= 60 && h >= 4 {
				assert.Contains(t, out, "press p", "%dx%d", w, h)
			}
			return out
		})
	}
}
