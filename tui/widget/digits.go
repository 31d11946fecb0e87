package widget

import "strings"

// Scale is the size of one pixel of the big digits.
type Scale struct {
	W     int // columns
	Halfs int // half rows
}

// Sizes of the big digits, which are five pixels high.
var (
	Small  = Scale{1, 1} // 3 rows
	Medium = Scale{2, 2} // 5 rows
	Large  = Scale{3, 3} // 8 rows
	Huge   = Scale{4, 4} // 10 rows
)

// fit is the scale in a set: without half rows pixels are whole rows.
func (c Scale) fit(set *Set) Scale {
	if set.ASCII {
		c.Halfs += c.Halfs % 2
	}
	return c
}

// Rows is how many rows digits of the scale take.
func (c Scale) Rows(set *Set) int { return (glyphRows*c.fit(set).Halfs + 1) / 2 }

const glyphRows = 5

// glyphs are the big digits and capitals, drawn for this program: a row of
// pixels each five rows, separated by slashes.
var glyphs = map[rune]string{
	'0': "###/#.#/#.#/#.#/###", '1': "##./.#./.#./.#./###", '2': "###/..#/###/#../###",
	'3': "###/..#/.##/..#/###", '4': "#.#/#.#/###/..#/..#", '5': "###/#../###/..#/###",
	'6': "###/#../###/#.#/###", '7': "###/..#/..#/..#/..#", '8': "###/#.#/###/#.#/###",
	'9': "###/#.#/###/..#/###", '.': "././././#", ',': "././././#", '-': ".../.../###/.../...",
	'+': ".../.#./###/.#./...", '?': "###/..#/.##/.../.#.", '!': "#/#/#/./#", ' ': "../../../../..",
	'A': ".##./#..#/####/#..#/#..#", 'B': "##./#.#/##./#.#/##.", 'C': ".##/#../#../#../.##",
	'D': "###./#..#/#..#/#..#/###.", 'E': "###/#../##./#../###", 'F': "###/#../##./#../#..",
	'G': ".###/#.../#.##/#..#/.##.", 'H': "#.#/#.#/###/#.#/#.#", 'I': "#/#/#/#/#",
	'J': "..#/..#/..#/#.#/.#.", 'K': "#.#/#.#/##./#.#/#.#", 'L': "#../#../#../#../###",
	'M': "#...#/##.##/#.#.#/#...#/#...#", 'N': "#..#/##.#/#.##/#..#/#..#", 'O': ".##./#..#/#..#/#..#/.##.",
	'P': "###/#.#/###/#../#..", 'Q': ".##./#..#/#..#/#.##/.###", 'R': "##./#.#/##./#.#/#.#",
	'S': ".##/#../.#./..#/##.", 'T': "###/.#./.#./.#./.#.", 'U': "#.#/#.#/#.#/#.#/###",
	'V': "#.#/#.#/#.#/#.#/.#.", 'W': "#...#/#...#/#.#.#/##.##/#...#", 'X': "#.#/#.#/.#./#.#/#.#",
	'Y': "#.#/#.#/.#./.#./.#.", 'Z': "###/..#/.#./#../###",
}

// BlockDigits is text in big digits and capitals, as rows of equal width.
// A character that has no big form is left out.
func BlockDigits(text string, scale Scale, set *Set) []string {
	scale = scale.fit(set)
	rows := pixels(text)
	half := make([]string, 0, glyphRows*scale.Halfs+1)
	for _, r := range rows {
		var b strings.Builder
		for _, p := range r {
			b.WriteString(strings.Repeat(string(p), scale.W))
		}
		for range scale.Halfs {
			half = append(half, b.String())
		}
	}
	if len(half)%2 == 1 {
		half = append(half, strings.Repeat(".", len(half[0])))
	}
	out := make([]string, 0, len(half)/2)
	for i := 0; i < len(half); i += 2 {
		out = append(out, joinHalves(half[i], half[i+1], set))
	}
	return out
}

// BlockWidth is how many columns BlockDigits takes.
func BlockWidth(text string, scale Scale) int { return len(pixels(text)[0]) * scale.W }

// pixels is text as rows of '#' and '.', glyphs one pixel apart.
func pixels(text string) [glyphRows]string {
	var rows [glyphRows]string
	for _, r := range text {
		g, ok := glyphs[r]
		if !ok {
			continue
		}
		for i, line := range strings.Split(g, "/") {
			if rows[i] != "" {
				rows[i] += "."
			}
			rows[i] += line
		}
	}
	return rows
}

func joinHalves(top, bottom string, set *Set) string {
	var b strings.Builder
	for i := range len(top) {
		k := 0
		if top[i] == '#' {
			k |= 1
		}
		if bottom[i] == '#' {
			k |= 2
		}
		if set.ASCII && k != 0 {
			b.WriteByte('#')
			continue
		}
		b.WriteString(set.pair[k])
	}
	return b.String()
}
