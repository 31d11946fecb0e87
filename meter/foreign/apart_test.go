package foreign_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/foreign"
)

// Rows are put in the order of their volumes where a fifth of the steps at least goes in
// either direction, the pH goes three times its way as the rows stand, and hardly more than
// its way as the volumes do: a choice of this project.
func TestWhenRowsAreInNoOrder(t *testing.T) {
	for _, c := range []struct {
		name  string
		order []int // of a block, that is repeated ten times
		apart int   // rows taken one by one from so many places
		noise float64
		want  bool
	}{
		{"nine of forty steps go back", []int{0}, 4, 0, true},
		{"seven of forty", []int{0}, 5, 0, false},
		{"the pH goes four times its way", []int{3, 0, 4, 1, 5, 2}, 1, 0, true},
		{"2.3 times", []int{0, 3, 1, 4, 2, 5}, 1, 0, false},
		{"1.1 times by the volumes", []int{0}, 2, 0.11, true},
		{"1.4 times", []int{0}, 2, 0.14, false},
	} {
		blocks, rows := 40, []float64{}
		if len(c.order) > 1 {
			blocks = 10
		}
		for i := range blocks / c.apart {
			for k := range c.apart {
				for _, o := range c.order {
					rows = append(rows, float64((k*blocks/c.apart+i)*len(c.order)+o))
				}
			}
		}
		text := "mL,pH\n"
		for _, v := range rows {
			text += fmt.Sprintf("%.0f,%.3f\n", v, 4+v/10+c.noise*math.Mod(v, 2))
		}
		l, err := foreign.ReadLog(strings.NewReader(text), foreign.LogOptions{Volume: foreign.TotalVolume, Run: 1})
		require.NoError(t, err, c.name)
		assert.Equal(t, c.want, strings.Contains(strings.Join(l.Notes, "\n"), "in no order"), c.name)
		if c.want {
			p := l.Points()
			require.Len(t, p, len(rows), c.name)
			assert.InDelta(t, float64(len(rows)-1), p[len(p)-1].ML, 1e-9, c.name)
		}
	}
}

// A column says which titration a row is of while they are thirty at most: more are places
// of a machine, or rows.
func TestHowManyTitrationsAColumnNames(t *testing.T) {
	for n, told := range map[int]bool{30: true, 31: false} {
		text := "run,mL,pH\n"
		for i := range 6 {
			for run := range n {
				text += fmt.Sprintf("r%d,%d,%.1f\n", run, i, 4+0.5*float64(i))
			}
		}
		l, err := foreign.ReadLog(strings.NewReader(text), foreign.LogOptions{Run: 1})
		require.NoError(t, err)
		assert.Equal(t, told, strings.Contains(fmt.Sprint(l.Notes), `told apart by "run"`), "%d: %v", n, l.Notes)
	}
}
