package screen_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/screen"
)

// TestReadingGoesWithTheLine: while drops fall, or when it is asked whether they did, the order
// stays on the screen though the meter was unplugged; what it showed last is then no reading of
// now, and whoever lets the drops fall must not watch for it to move.
func TestReadingGoesWithTheLine(t *testing.T) {
	for _, link := range []string{"lost", "quiet"} {
		for _, asks := range []bool{false, true} {
			st := with("", func(st *screen.State) {
				advise(&st.View, coach.Far, 0, 57, 8.74, 8.62, 8.89)
				st.View.Falling = &view.Falling{Asks: asks}
				st.View.Link, st.View.Age = link, 18
			}).st
			if asks {
				st.View.Advice.Do, st.View.Advice.Reason = coach.Check, coach.Dosing
			}
			text := screen.Coach(st, 80, 24)
			assert.Contains(t, text, "last 7.12, 18 s ago", "%s, asks %v\n%s", link, asks, text)
			assert.NotContains(t, text, "now 7.12", "%s, asks %v", link, asks)
			assert.Equal(t, "No reading, last 7.12, 18 s ago.", screen.Spoken(st.View), strings.TrimSpace(link))
			st.View.Link = "live"
			assert.Contains(t, screen.Coach(st, 80, 24), "now 7.12")
		}
	}
}
