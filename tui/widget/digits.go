package widget

import "strings"

// Scale is the size of one pixel of the big figures.
type Scale struct {
	W     int // columns
	Halfs int // half rows
}

// Sizes of the big figures, which are five pixels high.
var (
	Small  = Scale{1, 1} // 3 rows
	Tall   = Scale{1, 2} // 5 rows, in half the width
	Medium = Scale{2, 2} // 5 rows
	High   = Scale{2, 3} // 8 rows, narrower
	Large  = Scale{3, 3} // 8 rows
	Huge   = Scale{4, 4} // 10 rows
	Giant  = Scale{5, 5} // 13 rows
)

// fit is the scale in a set: without half rows pixels are whole rows.
func (c Scale) fit(set *Set) Scale {
	if set.ASCII {
		c.Halfs += c.Halfs % 2
	}
	return c
}

// Rows is how many rows figures of the scale take.
func (c Scale) Rows(set *Set) int { return (glyphRows*c.fit(set).Halfs + 1) / 2 }

const glyphRows = 5

// BlockDigits is text in big figures and letters, as rows of equal width.
// A character that has no big form is left out; HasBlock tells.
func BlockDigits(text string, scale Scale, set *Set) []string {
	return blockDigits(text, scale, set, false)
}

// BlockDigitsLow is BlockDigits on the floor of its rows: where figures leave half a row
// free it is above them, so that they do not touch what stands there.
func BlockDigitsLow(text string, scale Scale, set *Set) []string {
	return blockDigits(text, scale, set, true)
}

func blockDigits(text string, scale Scale, set *Set, low bool) []string {
	scale = scale.fit(set)
	px := pixels(text)
	rows := (glyphRows*scale.Halfs + 1) / 2
	g := newGrains(len(px[0])*scale.W, rows)
	for y, row := range px {
		for x := range row {
			if row[x] != '.' {
				g.fill(x*2*scale.W, y*scale.Halfs, 2*scale.W, scale.Halfs)
			}
		}
	}
	if set.quarters != nil {
		for y, row := range px {
			for x := range row {
				if row[x] == '#' {
					g.round(px, x, y, scale)
				}
			}
		}
	}
	if free := 2*rows - glyphRows*scale.Halfs; low && free > 0 {
		g.lower(free)
	}
	return g.rows(set)
}

// BlockWidth is how many columns BlockDigits takes.
func BlockWidth(text string, scale Scale) int { return len(pixels(text)[0]) * scale.W }

// pixels is text as rows of '#' and '.', glyphs one pixel apart.
func pixels(text string) [glyphRows]string {
	var rows [glyphRows]string
	for _, r := range text {
		g, ok := glyph(r)
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

// grains are the quarters of cells, two by two.
type grains struct {
	w, h int // in quarters
	on   []bool
}

func newGrains(cols, rows int) *grains {
	return &grains{w: 2 * cols, h: 2 * rows, on: make([]bool, 4*cols*rows)}
}

func (g *grains) fill(x, y, w, h int) {
	for j := y; j < y+h; j++ {
		for i := x; i < x+w; i++ {
			g.on[j*g.w+i] = true
		}
	}
}

// round takes the outer corners off a pixel: those of a bend, and from strokes
// of some thickness those of their ends.
func (g *grains) round(px [glyphRows]string, x, y int, c Scale) {
	at := func(x, y int) bool { return y >= 0 && y < glyphRows && x >= 0 && x < len(px[y]) && px[y][x] != '.' }
	left, top, w, h := x*2*c.W, y*c.Halfs, 2*c.W, c.Halfs
	for _, d := range [4][2]int{{-1, -1}, {1, -1}, {-1, 1}, {1, 1}} {
		if at(x+d[0], y) || at(x, y+d[1]) || at(x+d[0], y+d[1]) {
			continue // not an outer corner, or one that meets the next pixel
		}
		bend := at(x-d[0], y) && at(x, y-d[1])
		end := at(x-d[0], y) != at(x, y-d[1])
		if !bend && (!end || w < 4) {
			continue
		}
		deep := max(1, h/2)
		for j := range deep {
			for i := range min(deep-j, w/2) {
				cx, cy := left+i, top+j
				if d[0] > 0 {
					cx = left + w - 1 - i
				}
				if d[1] > 0 {
					cy = top + h - 1 - j
				}
				g.on[cy*g.w+cx] = false
			}
		}
	}
}

// lower moves everything down by n quarters; the last n rows of them were empty.
func (g *grains) lower(n int) {
	copy(g.on[n*g.w:], g.on[:len(g.on)-n*g.w])
	clear(g.on[:n*g.w])
}

// rows are the quarters as characters.
func (g *grains) rows(set *Set) []string {
	out := make([]string, 0, g.h/2)
	for y := 0; y < g.h; y += 2 {
		var b strings.Builder
		for x := 0; x < g.w; x += 2 {
			b.WriteString(g.cell(x, y, set))
		}
		out = append(out, b.String())
	}
	return out
}

func (g *grains) cell(x, y int, set *Set) string {
	k := 0
	for i, at := range [4]int{y*g.w + x, y*g.w + x + 1, (y+1)*g.w + x, (y+1)*g.w + x + 1} {
		if g.on[at] {
			k |= 1 << i
		}
	}
	switch {
	case set.ASCII && k != 0:
		return "#"
	case set.quarters != nil:
		return set.quarters[k]
	}
	return set.pair[k&1|k>>1&2] // without quarters both columns are alike
}
