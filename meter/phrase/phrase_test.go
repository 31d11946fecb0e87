package phrase

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// The examples of an optimal string alignment: each letter is touched once, so
// that "ca" is three steps from "abc", where the distance of Damerau 1964 without
// that limit has two (F. J. Damerau, Commun. ACM 7, 171, 1964; the pair is the usual
// one of textbooks, from memory).
func TestSlips(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"ph", "ph", 0}, {"kitten", "sitting", 3}, {"plan", "paln", 1}, {"ca", "abc", 3}, {"", "abc", 3}, {"molr", "molar", 1}} {
		assert.Equal(t, c.want, Slips(c.a, c.b), c)
		assert.Equal(t, c.want, Slips(c.b, c.a), c)
	}
}

// Wrapping loses no word, breaks none, and keeps a number with its unit.
func TestWrap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOfN(rapid.StringMatching(`[a-z]{1,12}`), 1, 30).Draw(t, "words")
		lines := Wrap(strings.Join(words, " "), 20)
		assert.Equal(t, words, strings.Fields(strings.Join(lines, " ")))
		for _, l := range lines {
			assert.LessOrEqual(t, len(l), 20)
		}
	})
	for _, l := range Wrap("about 12 mL of it, then 3 °C more, and 40 µL at the end", 11) {
		assert.NotRegexp(t, `\d$`, l)
	}
}

func TestNumbers(t *testing.T) {
	assert.Equal(t, "−0.02", Minus("-0.02"))
	assert.Equal(t, "+0.02", Minus("+0.02"))
	assert.Equal(t, "7.40", PH(7.4))
	assert.Equal(t, "7.405", PH(7.405))
	assert.Equal(t, "1 line", Counted(1, "line"))
	assert.Equal(t, "2 lines", Counted(int64(2), "line"))
	assert.Equal(t, "59 s", Lasting(59.4))
	assert.Equal(t, "1 min 0 s", Lasting(59.6))
	assert.Equal(t, "2 h 5 min", Lasting(2*3600+5*60+50))
	assert.Equal(t, "7 s", Away(7.2), "and not 0 min")
	assert.Equal(t, "99 s", Away(99.4))
	assert.Equal(t, "2 min", Away(99.6))
	assert.Equal(t, "25 min", Away(25*60))
}

// What Quote writes Words reads: the words of a shell (POSIX.1-2024, 2.2 Quoting),
// but for line ends.
func TestWordsOfAShell(t *testing.T) {
	for _, line := range []string{`a "b c" d`, `'it is' "so"`, `say -v 'Daniel'`} {
		words, err := Words(line)
		assert.NoError(t, err)
		again, err := Words(strings.Join(Quote(words), " "))
		assert.NoError(t, err)
		assert.Equal(t, words, again)
	}
	_, err := Words(`say "x`)
	assert.ErrorContains(t, err, "is not closed")
	assert.Equal(t, []string{"''", "'NaOH 1 M'", "plain"}, Quote([]string{"", "NaOH 1 M", "plain"}))
}

// Who types the beginning of a name means it, where only one begins so; who types all of one
// means that.
func TestCalled(t *testing.T) {
	list := []string{"NaOH 1 M", "NaOH 1 M old", "HCl 0.1 M"}
	for words, want := range map[string][]string{"naoh 1 m": list[:1], "NaOH": list[:2], "h": list[2:], "KOH": nil, "": list} {
		assert.Equal(t, want, Called(list, words), words)
	}
}

// Hours are said from one on, and lines are broken where there are twenty columns.
func TestHoursAndBrokenLines(t *testing.T) {
	assert.Equal(t, "59:59", Clock(3599.9))
	assert.Equal(t, "1:00:00", Clock(3600))
	const text = "one two three four five six"
	assert.Equal(t, text, Hang(text, 19))
	assert.Contains(t, Hang(text, 20), "\n")
}
