package report

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/scale"
)

// The figures' own colours: dark teal on sea green, the aim in straw.
const (
	ink, grid   = "#22303a", "#dfe5e6"
	line, veil  = "#0d5c63", "#a9d0c6"
	straw, rust = "#f2d16b", "#9a3b1f"
	pale        = "#8a979e"
)

// frame is where a figure's plot stands in the picture.
type frame struct{ w, h, left, right, top, bottom float64 }

// axis is a scale that is drawn.
type axis struct{ scale.Scale }

// newAxis holds lo and hi at round ticks, about n of them.
func newAxis(lo, hi, from, to, n float64) axis {
	if !(hi > lo) {
		hi = lo + 1
	}
	a := axis{scale.Scale{From: from, To: to, Step: scale.Round((hi - lo) / n)}}
	a.Lo, a.Hi = a.Step*math.Floor(lo/a.Step+1e-9), a.Step*math.Ceil(hi/a.Step-1e-9)
	return a
}

// timeSteps are the steps of minutes that a clock has.
var timeSteps = []float64{0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 240, 480}

// newTimeAxis is an axis of minutes from 0, that ends where the run does.
func newTimeAxis(minutes, from, to float64) axis {
	a := axis{scale.Scale{Hi: minutes, From: from, To: to, Step: scale.Round(minutes / 9)}}
	for _, s := range timeSteps {
		if minutes/s <= 10 {
			a.Step = s
			break
		}
	}
	return a
}

// picture is a figure being drawn.
type picture struct {
	strings.Builder
	frame
	x, y axis
}

func (p *picture) put(format string, a ...any) { fmt.Fprintf(p, format+"\n", a...) }

// label is a tick in the digits of its axis: 6.5, 7.0, 7.5.
func (a axis) label(v float64) string {
	digits := max(0, int(math.Ceil(-math.Log10(a.Step)-1e-9)))
	return strconv.FormatFloat(v, 'f', digits, 64)
}

// open begins the picture and draws axes, grid and ticks.
func (p *picture) open(title, xLabel string) {
	p.put(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" font-family="sans-serif" font-size="13" fill="%s" role="img">`, p.w, p.h, ink)
	p.put(`<title>%s</title><rect width="%g" height="%g" fill="white"/>`, escape(title), p.w, p.h)
	for _, v := range p.x.Ticks() {
		x := p.x.At(v)
		p.put(`<path d="M%.1f %g V%g" stroke="%s"/><path d="M%.1f %g v5" stroke="%s"/><text x="%.1f" y="%g" text-anchor="middle">%s</text>`,
			x, p.top, p.bottom, grid, x, p.bottom, ink, x, p.bottom+20, p.x.label(v))
	}
	for _, v := range p.y.Ticks() {
		y := p.y.At(v)
		p.put(`<path d="M%g %.1f H%g" stroke="%s"/><path d="M%g %.1f h-5" stroke="%s"/><text x="%g" y="%.1f" text-anchor="end">%s</text>`,
			p.left, y, p.right, grid, p.left, y, ink, p.left-9, y+4.5, p.y.label(v))
	}
	p.put(`<path d="M%g %g V%g H%g" fill="none" stroke="%s" stroke-width="1.5"/>`, p.left, p.top, p.bottom, p.right, ink)
	p.put(`<text x="%g" y="%g" text-anchor="middle">%s</text>`, (p.left+p.right)/2, p.bottom+39, escape(xLabel))
	p.put(`<text x="14" y="%g" text-anchor="middle" transform="rotate(-90 14 %g)">pH</text>`, (p.top+p.bottom)/2, (p.top+p.bottom)/2)
}

// flawed says in the picture that its run is not whole.
func (p *picture) flawed(flaw string) {
	if flaw == "" {
		return
	}
	if r := []rune(flaw); len(r) > 110 {
		flaw = string(r[:109]) + "…"
	}
	p.put(`<text x="%g" y="%g" font-size="10" fill="#9a3b1f">NOT WHOLE: %s</text>`, p.left+4, p.top-3, escape(flaw)) // above what is drawn, not across it
}

// stripe is the band to end in.
func (p *picture) stripe(low, high float64) {
	top, bottom := p.y.At(high), p.y.At(low)
	h := math.Max(bottom-top, 2)
	p.put(`<rect x="%g" y="%.1f" width="%g" height="%.1f" fill="%s"/>`, p.left, (top+bottom-h)/2, p.right-p.left, h, straw)
}

// curve draws a line through points.
func (p *picture) curve(n int, at func(i int) (x, y float64), style string) {
	var d strings.Builder
	pen := "M"
	for i := range n {
		x, y := at(i)
		if math.IsNaN(x) || math.IsNaN(y) {
			pen = "M"
			continue
		}
		fmt.Fprintf(&d, "%s%.1f %.1f", pen, p.x.At(x), p.y.At(y))
		pen = "L"
	}
	p.put(`<path d="%s" fill="none" stroke-linejoin="round" %s/>`, d.String(), style)
}

func (p *picture) writeTo(w io.Writer) error {
	_, err := io.WriteString(w, p.String()+"</svg>\n")
	return err
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

// escape makes text safe inside XML; control characters are left out.
func escape(s string) string {
	return escaper.Replace(strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r == 0xfffe || r == 0xffff {
			return -1
		}
		return r
	}, s))
}

// oneML is a millilitre of a stock.
func oneML(stock int) coach.Addition {
	return coach.Addition{Stock: stock, Volume: chem.Millilitre}
}
