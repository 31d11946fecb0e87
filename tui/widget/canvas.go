package widget

import (
	"math"
	"strings"
)

// Canvas is a drawing in dots, several to a cell: two by four with braille,
// otherwise one by two. A cell has one ink, that of the dot set last.
type Canvas struct {
	W, H   int // in dots
	set    *Set
	cw, ch int // dots in a cell
	dots   []uint8
	inks   []Ink
	cols   int
}

// NewCanvas is an empty canvas of w by h cells.
func NewCanvas(w, h int, set *Set) *Canvas {
	c := &Canvas{set: set, cw: 1, ch: 2, cols: max(w, 0)}
	if set.Braille {
		c.cw, c.ch = 2, 4
	}
	h = max(h, 0)
	c.W, c.H = c.cols*c.cw, h*c.ch
	c.dots, c.inks = make([]uint8, c.cols*h), make([]Ink, c.cols*h)
	return c
}

// brailleBits are the bits of the dots of a braille cell (Unicode, U+2800).
var brailleBits = [4][2]uint8{{0x01, 0x08}, {0x02, 0x10}, {0x04, 0x20}, {0x40, 0x80}}

// Set puts a dot; y counts downwards. A dot off the canvas is lost.
func (c *Canvas) Set(x, y int, ink Ink) {
	if x < 0 || y < 0 || x >= c.W || y >= c.H {
		return
	}
	i := y/c.ch*c.cols + x/c.cw
	bit := uint8(1) << (y % c.ch)
	if c.set.Braille {
		bit = brailleBits[y%c.ch][x%c.cw]
	}
	c.dots[i] |= bit
	c.inks[i] = ink
}

// column puts dots from y0 to y1 in column x, every step of them.
func (c *Canvas) column(x, y0, y1 int, step int, ink Ink) {
	if y0 > y1 {
		y0, y1 = y1, y0
	}
	for y := max(y0, 0); y <= min(y1, c.H-1); y++ {
		if step <= 1 || (x+y)%step == 0 {
			c.Set(x, y, ink)
		}
	}
}

// Draw puts the canvas on a sheet at the corner of a rectangle. Empty cells
// leave what is there.
func (c *Canvas) Draw(s *Sheet, r Rect) {
	for i, d := range c.dots {
		x, y := i%c.cols, i/c.cols
		if d == 0 || x >= r.W || y >= r.H {
			continue
		}
		ch := ""
		if c.set.Braille {
			ch = string(rune(0x2800 + int(d)))
		} else {
			ch = c.set.pair[d&3]
		}
		s.Put(r.X+x, r.Y+y, c.inks[i], ch)
	}
}

// Bar is a bar of w cells with its edges, filled to a share of 0 to 1.
func Bar(share float64, w int, set *Set) string {
	inner := w - 2
	if inner < 1 {
		return ""
	}
	if !(share >= 0) {
		share = 0
	}
	steps := len(set.parts) + 1
	n := int(math.Round(min(share, 1) * float64(inner*steps)))
	full, part := n/steps, n%steps
	b := strings.Repeat(set.BarFull, full)
	if part > 0 {
		b += set.parts[part-1]
		full++
	}
	return set.BarEdges[0] + b + strings.Repeat(set.BarEmpty, inner-full) + set.BarEdges[1]
}
