package curve

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/scale"
)

// Figure is a curve to be drawn.
type Figure struct {
	Title   string
	Titrant string // named on the volume axis
	Note    string // one line under the title: temperature, activities on or off
	Points  []Point
	Marks   []Equivalence
	Target  *Target
}

// Target is the band of pH to end in and the volume that is expected to get there.
type Target struct {
	Low, High float64
	PH        float64
	Volume    chem.Volume // of titrant; negative when it is not reached
}

// The figure's size and the edges of the plot in it.
const (
	figureW, figureH = 760.0, 500.0
	plotL, plotR     = 66.0, 736.0
	plotT, plotB     = 74.0, 440.0
)

// The figure's own colours: dark teal on sea green, the target in straw.
const (
	ink, grid   = "#22303a", "#dfe5e6"
	line, veil  = "#0d5c63", "#a9d0c6"
	straw, rust = "#f2d16b", "#9a3b1f"
)

// WriteSVG draws the figure as a picture of 760 by 500: the band as a veil
// behind the curve, the target as a stripe, equivalence points as rings.
func (f Figure) WriteSVG(w io.Writer) error {
	if len(f.Points) < 2 {
		return fmt.Errorf("curve: a figure needs two points or more, got %d", len(f.Points))
	}
	b := bufio.NewWriter(w)
	x, y := f.axes()
	fmt.Fprintf(b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" width="%g" height="%g" font-family="sans-serif" font-size="13" fill="%s">`+"\n", figureW, figureH, figureW, figureH, ink)
	fmt.Fprintf(b, "<title>%s</title>\n<rect width=\"%g\" height=\"%g\" fill=\"white\"/>\n", escape(f.Title), figureW, figureH)
	fmt.Fprintf(b, `<text x="%g" y="30" font-size="18" font-weight="bold">%s</text>`+"\n", plotL, escape(f.Title))
	fmt.Fprintf(b, `<text x="%g" y="52">%s</text>`+"\n", plotL, escape(f.Note))
	fmt.Fprintf(b, `<clipPath id="plot"><rect x="%g" y="%g" width="%g" height="%g"/></clipPath>`+"\n", plotL, plotT, plotR-plotL, plotB-plotT)
	f.drawTarget(b, y)
	x.drawX(b, "volume of "+f.Titrant+" added / mL")
	y.drawY(b, "pH")
	f.drawBand(b, x, y)
	f.drawCurve(b, x, y)
	f.drawMarks(b, x, y)
	f.drawAim(b, x, y)
	fmt.Fprintln(b, "</svg>")
	return b.Flush()
}

// axes are the scales that hold all points, at round values.
func (f Figure) axes() (x, y axis) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range f.Points {
		lo, hi = math.Min(lo, p.PH), math.Max(hi, p.PH)
	}
	if f.Target != nil {
		lo, hi = math.Min(lo, f.Target.Low), math.Max(hi, f.Target.High)
	}
	end := f.Points[len(f.Points)-1].Volume.Millilitres()
	x = axis{scale.Scale{Lo: 0, Hi: end, From: plotL, To: plotR, Step: scale.Round(end / 7)}}
	y = axis{scale.Scale{From: plotB, To: plotT, Step: math.Max(scale.Round((hi-lo)/7), 0.5)}}
	y.Lo, y.Hi = y.Step*math.Floor((lo-0.1)/y.Step), y.Step*math.Ceil((hi+0.1)/y.Step)
	return x, y
}

// axis is a scale that is drawn.
type axis struct{ scale.Scale }

func (a axis) drawX(b *bufio.Writer, label string) {
	for _, v := range a.Ticks() {
		x := a.At(v)
		fmt.Fprintf(b, `<path d="M%.1f %g V%g" stroke="%s"/><text x="%.1f" y="%g" text-anchor="middle">%.4g</text>`+"\n", x, plotT, plotB, grid, x, plotB+18, v)
	}
	fmt.Fprintf(b, `<path d="M%g %g H%g" stroke="%s" stroke-width="1.5"/>`+"\n", plotL, plotB, plotR, ink)
	fmt.Fprintf(b, `<text x="%g" y="%g" text-anchor="middle">%s</text>`+"\n", (plotL+plotR)/2, plotB+42, escape(label))
}

func (a axis) drawY(b *bufio.Writer, label string) {
	for _, v := range a.Ticks() {
		y := a.At(v)
		fmt.Fprintf(b, `<path d="M%g %.1f H%g" stroke="%s"/><text x="%g" y="%.1f" text-anchor="end">%.4g</text>`+"\n", plotL, y, plotR, grid, plotL-8, y+4.5, v)
	}
	fmt.Fprintf(b, `<path d="M%g %g V%g" stroke="%s" stroke-width="1.5"/>`+"\n", plotL, plotT, plotB, ink)
	fmt.Fprintf(b, `<text x="20" y="%g" text-anchor="middle">%s</text>`+"\n", (plotT+plotB)/2, escape(label))
}

func (f Figure) drawBand(b *bufio.Writer, x, y axis) {
	fmt.Fprint(b, `<path clip-path="url(#plot)" d="`)
	for i, p := range f.Points {
		fmt.Fprintf(b, "%s%.1f %.1f", pen(i), x.At(p.Volume.Millilitres()), y.At(p.High))
	}
	for i := len(f.Points) - 1; i >= 0; i-- {
		p := f.Points[i]
		fmt.Fprintf(b, "L%.1f %.1f", x.At(p.Volume.Millilitres()), y.At(p.Low))
	}
	fmt.Fprintf(b, `Z" fill="%s" fill-opacity="0.75"/>`+"\n", veil)
}

func (f Figure) drawCurve(b *bufio.Writer, x, y axis) {
	fmt.Fprint(b, `<path clip-path="url(#plot)" d="`)
	for i, p := range f.Points {
		fmt.Fprintf(b, "%s%.1f %.1f", pen(i), x.At(p.Volume.Millilitres()), y.At(p.PH))
	}
	fmt.Fprintf(b, `" fill="none" stroke="%s" stroke-width="2.2" stroke-linejoin="round"/>`+"\n", line)
}

func pen(i int) string {
	if i == 0 {
		return "M"
	}
	return "L"
}

func (f Figure) drawTarget(b *bufio.Writer, y axis) {
	if f.Target == nil {
		return
	}
	top, low := y.At(f.Target.High), y.At(f.Target.Low)
	h := math.Max(low-top, 2) // a narrow tolerance still shows
	fmt.Fprintf(b, `<rect x="%g" y="%.1f" width="%g" height="%.1f" fill="%s"/>`+"\n", plotL, (top+low-h)/2, plotR-plotL, h, straw)
}

func (f Figure) drawMarks(b *bufio.Writer, x, y axis) {
	for _, e := range f.Marks {
		px, py := x.At(e.Volume.Millilitres()), y.At(e.PH)
		fmt.Fprintf(b, `<path d="M%.1f %.1f V%g" stroke="%s" stroke-dasharray="3 3"/>`+"\n", px, py, plotB, rust)
		fmt.Fprintf(b, `<circle cx="%.1f" cy="%.1f" r="5" fill="white" stroke="%s" stroke-width="2"/>`+"\n", px, py, rust)
		dx, anchor := 12.0, "start"
		if px > plotR-150 {
			dx, anchor = -12, "end"
		}
		fmt.Fprintf(b, `<text x="%.1f" y="%.1f" text-anchor="%s" fill="%s" stroke="white" stroke-width="3" paint-order="stroke">equivalence %.3g mL</text>`+"\n", px+dx, py+4, anchor, rust, e.Volume.Millilitres())
	}
}

func (f Figure) drawAim(b *bufio.Writer, x, y axis) {
	if f.Target == nil {
		return
	}
	py := y.At(f.Target.PH)
	label := fmt.Sprintf("aim %.2f ± %.2f", f.Target.PH, (f.Target.High-f.Target.Low)/2)
	ty := py - 8
	if f.Points[len(f.Points)-1].PH > f.Target.PH {
		ty = py + 19 // the curve has left upward
	}
	if f.Target.Volume >= 0 {
		px := x.At(f.Target.Volume.Millilitres())
		fmt.Fprintf(b, `<path d="M%.1f %.1f l6 6 l-6 6 l-6 -6 z" fill="%s" stroke="white"/>`+"\n", px, py-6, ink)
		label += fmt.Sprintf(", near %.3g mL", f.Target.Volume.Millilitres())
	}
	fmt.Fprintf(b, `<text x="%g" y="%.1f" text-anchor="end" stroke="white" stroke-width="3" paint-order="stroke">%s</text>`+"\n", plotR-6, ty, label)
}

// escape makes text safe inside XML.
func escape(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a Builder does not fail
	return b.String()
}
