package figure

import (
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strings"
)

// The figures' own colours: dark teal on sea green, the aim in straw.
const (
	Ink, grid   = "#22303a", "#dfe5e6"
	Line, Veil  = "#0d5c63", "#a9d0c6"
	straw, Rust = "#f2d16b", "#9a3b1f"
	Pale        = "#8a979e"
)

// Frame is where the plot of a picture stands in it, px.
type Frame struct{ W, H, Left, Right, Top, Bottom float64 }

// Across is the frame from left to right, Up from its bottom, as a pH is drawn.
func (f Frame) Across() Range { return Range{f.Left, f.Right} }

// Up is the frame from its bottom.
func (f Frame) Up() Range { return Range{f.Bottom, f.Top} }

// Picture is a figure of pH that is being drawn.
type Picture struct {
	strings.Builder
	Frame
	X, Y Scale
}

// Put writes an element.
func (p *Picture) Put(format string, a ...any) { fmt.Fprintf(p, format+"\n", a...) }

// Open begins the picture and draws axes, grid and ticks.
func (p *Picture) Open(title, xLabel string) {
	p.Put(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" font-family="sans-serif" font-size="13" fill="%s" role="img">`, p.W, p.H, Ink)
	p.Put(`<title>%s</title><rect width="%g" height="%g" fill="white"/>`, Escape(title), p.W, p.H)
	for _, v := range p.X.Ticks() {
		x := p.X.At(v)
		p.Put(`<path d="M%.1f %g V%g" stroke="%s"/><path d="M%.1f %g v5" stroke="%s"/><text x="%.1f" y="%g" text-anchor="middle">%s</text>`,
			x, p.Top, p.Bottom, grid, x, p.Bottom, Ink, x, p.Bottom+20, p.X.label(v))
	}
	for _, v := range p.Y.Ticks() {
		y := p.Y.At(v)
		p.Put(`<path d="M%g %.1f H%g" stroke="%s"/><path d="M%g %.1f h-5" stroke="%s"/><text x="%g" y="%.1f" text-anchor="end">%s</text>`,
			p.Left, y, p.Right, grid, p.Left, y, Ink, p.Left-9, y+4.5, p.Y.label(v))
	}
	p.Put(`<path d="M%g %g V%g H%g" fill="none" stroke="%s" stroke-width="1.5"/>`, p.Left, p.Top, p.Bottom, p.Right, Ink)
	p.Put(`<text x="%g" y="%g" text-anchor="middle">%s</text>`, (p.Left+p.Right)/2, p.Bottom+39, Escape(xLabel))
	p.Put(`<text x="14" y="%g" text-anchor="middle" transform="rotate(-90 14 %g)">pH</text>`, (p.Top+p.Bottom)/2, (p.Top+p.Bottom)/2)
}

// Stripe is the band to end in; a narrow one still shows.
func (p *Picture) Stripe(band Range) {
	top, bottom := p.Y.At(band.To), p.Y.At(band.From)
	h := math.Max(bottom-top, 2)
	p.Put(`<rect x="%g" y="%.1f" width="%g" height="%.1f" fill="%s"/>`, p.Left, (top+bottom-h)/2, p.Right-p.Left, h, straw)
}

// Curve draws a line through n points in a style; it is broken at one that is not a number.
func (p *Picture) Curve(n int, at func(i int) (x, y float64), style string) {
	var d strings.Builder
	pen := "M"
	for i := range n {
		x, y := at(i)
		if math.IsNaN(x) || math.IsNaN(y) {
			pen = "M"
			continue
		}
		fmt.Fprintf(&d, "%s%.1f %.1f", pen, p.X.At(x), p.Y.At(y))
		pen = "L"
	}
	p.Put(`<path d="%s" fill="none" stroke-linejoin="round" %s/>`, d.String(), style)
}

// Band fills what lies between two curves through the same n places, within the plot.
func (p *Picture) Band(n int, at func(i int) (x, low, high float64)) {
	p.Curve(2*n, func(i int) (float64, float64) {
		if i < n {
			x, _, high := at(i)
			return x, p.Y.Inside(high)
		}
		x, low, _ := at(2*n - 1 - i)
		return x, p.Y.Inside(low)
	}, fmt.Sprintf(`style="fill:%s;fill-opacity:.7"`, Veil))
}

// Point is a place in what the axes count.
type Point struct{ X, PH float64 }

// Ring marks a point.
func (p *Picture) Ring(at Point) {
	p.Put(`<circle cx="%.1f" cy="%.1f" r="4.5" fill="white" stroke="%s" stroke-width="2"/>`, p.X.At(at.X), p.Y.At(at.PH), Rust)
}

// Finish ends the picture and writes it.
func (p *Picture) Finish(w io.Writer) error {
	_, err := io.WriteString(w, p.String()+"</svg>\n")
	return err
}

// Escape makes text safe inside XML; control characters are left out.
func Escape(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r == 0xfffe || r == 0xffff {
			return -1
		}
		return r
	}, s))) // a Builder does not fail
	return b.String()
}
