package curve

import (
	"fmt"
	"io"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/figure"
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

// frame has room for a title above the plot.
var frame = figure.Frame{W: 760, H: 500, Left: 66, Right: 736, Top: 74, Bottom: 440}

// WriteSVG draws the figure as a picture of 760 by 500: the band as a veil
// behind the curve, the target as a stripe, equivalence points as rings.
func (f Figure) WriteSVG(w io.Writer) error {
	if len(f.Points) < 2 {
		return fmt.Errorf("curve: a figure needs two points or more, got %d", len(f.Points))
	}
	p := &figure.Picture{Frame: frame}
	low, high := math.Inf(1), math.Inf(-1)
	for _, x := range f.Points {
		low, high = math.Min(low, x.PH), math.Max(high, x.PH)
	}
	if f.Target != nil {
		low, high = math.Min(low, f.Target.Low), math.Max(high, f.Target.High)
	}
	end := f.Points[len(f.Points)-1].Volume.Millilitres()
	p.X = figure.NewScale(figure.Range{To: end}, p.Across(), 7)
	p.X.Hi = end
	p.Y = figure.NewScale(figure.Range{From: low - 0.1, To: high + 0.1}, p.Up(), 7)
	p.Open(f.Title, "volume of "+f.Titrant+" added / mL")
	p.Put(`<text x="%g" y="30" font-size="18" font-weight="bold">%s</text>`, p.Left, figure.Escape(f.Title))
	p.Put(`<text x="%g" y="52">%s</text>`, p.Left, figure.Escape(f.Note))
	if f.Target != nil {
		p.Stripe(figure.Range{From: f.Target.Low, To: f.Target.High})
	}
	p.Band(len(f.Points), func(i int) (x, low, high float64) {
		return f.Points[i].Volume.Millilitres(), f.Points[i].Low, f.Points[i].High
	})
	p.Curve(len(f.Points), func(i int) (x, y float64) { return f.Points[i].Volume.Millilitres(), f.Points[i].PH },
		fmt.Sprintf(`stroke="%s" stroke-width="2.2"`, figure.Line))
	f.drawMarks(p)
	f.drawAim(p)
	return p.Finish(w)
}

func (f Figure) drawMarks(p *figure.Picture) {
	for _, e := range f.Marks {
		px, py := p.X.At(e.Volume.Millilitres()), p.Y.At(e.PH)
		p.Put(`<path d="M%.1f %.1f V%g" stroke="%s" stroke-dasharray="3 3"/>`, px, py, p.Bottom, figure.Rust)
		p.Ring(figure.Point{X: e.Volume.Millilitres(), PH: e.PH})
		dx, anchor := 12.0, "start"
		if px > p.Right-150 {
			dx, anchor = -12, "end"
		}
		p.Put(`<text x="%.1f" y="%.1f" text-anchor="%s" fill="%s" stroke="white" stroke-width="3" paint-order="stroke">equivalence %.3g mL</text>`, px+dx, py+4, anchor, figure.Rust, e.Volume.Millilitres())
	}
}

func (f Figure) drawAim(p *figure.Picture) {
	if f.Target == nil {
		return
	}
	py := p.Y.At(f.Target.PH)
	label := fmt.Sprintf("aim %.2f ± %.2f", f.Target.PH, (f.Target.High-f.Target.Low)/2)
	ty := py - 8
	if f.Points[len(f.Points)-1].PH > f.Target.PH {
		ty = py + 19 // the curve has left upward
	}
	if v := f.Target.Volume; v >= 0 {
		p.Put(`<path d="M%.1f %.1f l6 6 l-6 6 l-6 -6 z" fill="%s" stroke="white"/>`, p.X.At(v.Millilitres()), py-6, figure.Ink)
		label += fmt.Sprintf(", near %.3g mL", v.Millilitres())
	}
	p.Put(`<text x="%g" y="%.1f" text-anchor="end" stroke="white" stroke-width="3" paint-order="stroke">%s</text>`, p.Right-6, ty, label)
}
