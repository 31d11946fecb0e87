package grid_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/foreign/grid"
)

// A sum at the foot is left out, where six rows or more stand above it and it is theirs to a
// part in a thousand; else it is a reading (choice).
func TestSumsAtTheFoot(t *testing.T) {
	log := func(rows int, foot float64) *grid.Table {
		var b strings.Builder
		b.WriteString("n,V mL,pH\n")
		sum := 0.0
		for i := range rows {
			v := 0.5 + 0.25*float64(i%3)
			sum += v
			fmt.Fprintf(&b, "%d,%.2f,%.2f\n", 7*i, v, 4+0.1*float64(i))
		}
		fmt.Fprintf(&b, "900,%.5f,5.00", sum*foot)
		return found(t, b.String())
	}
	assert.Equal(t, 8, log(6, 1).Sum)
	assert.Len(t, log(6, 1).Rows, 6)
	assert.Zero(t, log(5, 1).Sum, "of five rows it may be chance")
	assert.NotZero(t, log(6, 1.0009).Sum, "rounded")
	assert.NotZero(t, log(6, 1-0.0009).Sum)
	assert.Zero(t, log(6, 1.0012).Sum)
	assert.NotZero(t, log(12, 1).Sum)
}

// A column in which eight rows of ten hold numbers is one of numbers: a word in it makes a
// row none. In one that is emptier words may stand (choice).
func TestRowsOfWords(t *testing.T) {
	log := func(filled int) *grid.Table {
		rows := []string{"V mL,pH,note"}
		for i := range 20 {
			note := "shaken"
			if i < filled {
				note = fmt.Sprint(3 * i)
			}
			rows = append(rows, fmt.Sprintf("%d,%.2f,%s", i, 4+0.1*float64(i), note))
		}
		return found(t, strings.Join(rows, "\n"))
	}
	assert.Len(t, log(16).Rows, 16, "what stands in the four others is a word where a number belongs")
	assert.Len(t, log(15).Rows, 20)
	assert.Len(t, log(9).Rows, 20)
}

// Figures of the table below it, such as its mean, are named; the table that goes on below
// a head that comes again is one; another one below is left out, and said so.
func TestWhatStandsBelow(t *testing.T) {
	tab := found(t, "V mL,pH\n0,4.0\n1,4.2\n2,4.4\n3,4.6\nMean,4.3\nMaximum,4.6")
	assert.Len(t, tab.Rows, 4)
	assert.Equal(t, []int{6, 7}, tab.Lost)

	first := "V mL,pH\n0,4.0\n1,4.2\n2,4.4\n3,4.6\n"
	tab = found(t, first+"V mL,pH\n4,4.7\n5,4.8\n6,4.9")
	assert.Len(t, tab.Rows, 7, "the head of a new page")
	tab = found(t, first+"\nV mL,pH,E mV\n0,9.0,-100\n1,9.1,-110\n2,9.2,-120")
	assert.Equal(t, []grid.Other{{Line: 2, Rows: 4}}, tab.Others, "the one with more numbers is read")
	assert.Len(t, tab.Rows, 3)
}

// Between the head of another table and its rows may be two lines, such as units and a rule;
// farther below it is no head of theirs (choice).
func TestRoomBelowAHead(t *testing.T) {
	log := func(between int) *grid.Table {
		text := "V mL,pH\n0,4.0\n1,4.2\n2,4.4\n3,4.6\ntime s,E mV\n" + strings.Repeat("---\n", between)
		return found(t, text+"10,-50\n20,-60\n30,-70\n40,-80\n50,-90")
	}
	assert.Len(t, log(2).Others, 1)
	assert.Empty(t, log(3).Others)
}

// Rows go on a table where each number lies within three tenths of the range of its column
// beyond it; what is farther off is another table (choice).
func TestRowsThatGoOn(t *testing.T) {
	log := func(next float64) *grid.Table {
		return found(t, "V mL,pH\n0,4.0\n2,4.2\n4,4.4\n10,5.0\nvolume,reading of pH\n"+
			fmt.Sprintf("%g,5.1\n%g,5.1\n%g,5.2", next, next+0.1, next+0.2))
	}
	assert.Empty(t, log(12.9).Others, "10 mL and three tenths")
	assert.NotEmpty(t, log(13.1).Others)
	assert.NotEmpty(t, log(-3.1).Others)
}

// Heads that do not fit: row numbers without a name, decimal commas between commas, a mark of
// a remark before the first name, units in a line of their own.
func TestHeads(t *testing.T) {
	tab := found(t, "V mL,pH\n1,0.0,4.1\n2,0.5,4.3\n3,1.0,4.6")
	assert.True(t, tab.Numbered)
	assert.Equal(t, []string{"", "V mL", "pH"}, tab.Header)

	tab = found(t, "V mL,pH\n0,0,4,10\n0,5,4,30\n1,0,4,60")
	assert.True(t, tab.Joined)
	assert.Equal(t, []float64{4.1, 4.3, 4.6}, tab.Values(1))

	tab = found(t, "V mL, pH\n0,0, 4,10\n0,5, 4,30\n1,0, 4,60")
	assert.True(t, tab.Joined, "with a blank after each comma")

	assert.Equal(t, []string{"V", "pH"}, found(t, "# V,pH\n0,4.1\n1,4.3\n2,4.6").Header)
	assert.Equal(t, []string{"V", "pH"}, found(t, "#,V,pH\n0,4.1\n1,4.3\n2,4.6").Header)
	assert.Equal(t, []string{"time (hh:mm)", "V (mL)", "pH"}, found(t, "time,V,pH\n[hh:mm],[mL],-\n10:00,0,4.1\n10:01,1,4.3\n10:02,2,4.6").Header)

	tab = found(t, "Sample volume (ml): 50\nn = 37\nV,pH\n0,4.1\n1,4.3\n2,4.6")
	assert.Equal(t, []string{"Sample volume (ml): 50", "n = 37"}, tab.Facts)
	assert.Equal(t, "column 2", found(t, "0,4.1\n1,4.3\n2,4.6").Label(1), "without a head")
}

// A cell that is no number is missing, and counts as one that is not filled.
func TestMissingCells(t *testing.T) {
	tab := found(t, "t,V,pH\n10:00,0,4.1\n10:01,,4.3\n10:02,2")
	n, moments := tab.Filled(0)
	assert.Equal(t, [2]int{3, 3}, [2]int{n, moments})
	n, moments = tab.Filled(1)
	assert.Equal(t, [2]int{2, 0}, [2]int{n, moments})
	assert.True(t, math.IsNaN(tab.Values(1)[1]))
	assert.True(t, math.IsNaN(tab.Values(2)[2]))
}
