package report

import (
	"cmp"
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/figure"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/meter/found"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/view"
)

//go:embed found.gohtml
var foundText string

// foundTemplate shares the parts that every record has with the page of a run.
var foundTemplate = template.Must(template.Must(page.Clone()).New("found").Parse(foundText))

// Found is the record of a run that looked for an amount.
type Found struct {
	run *replay.Run
	end run.State
	f   *view.Finding
}

// NewFound gathers the record of a run that looked for an amount; nil for any other,
// and where nothing can be said.
func NewFound(r *replay.Run) *Found {
	end := r.End()
	if f := end.AtLast().Found; f != nil {
		return &Found{run: r, end: end, f: f}
	}
	return nil
}

// row is a line of a table of two columns.
type row struct{ Name, Text string }

// foundView is what the page shows.
type foundView struct {
	drawn
	Day, Begin, Flaw, Closed               string
	Answer, Percent, Wanted, Limit, Differ string
	Enough                                 bool
	Points, Label                          []string // the first line of a label is its name
	Classic, Causes, Rests                 []row
	Rest                                   []view.FoundStep
}

// foundCaution is the usual one; the label of the maker goes first.
const foundCaution = "Acids and bases burn: goggles, gloves, the safety data sheet."

// label is what goes on the bottle, or beside the sample, but for what a hand writes on it.
func (x *Found) label() []string {
	f, st := x.f, x.end.Setup.Stocks[0]
	name := f.Name
	if f.What == find.Strength && st.Bottle != "" {
		name += ", bottle " + st.Bottle
	}
	out := []string{name, f.Short() + ", ± one standard deviation"}
	if f.What == find.Strength && f.Carbonate > 0 {
		out = append(out, "from what it neutralises to pH 8 to 9; carbonate "+view.Spread(100*f.Carbonate, 100*f.CarbonateSD, "%"))
	}
	if !f.AsGood() {
		out = append(out, "NOT AS CERTAIN AS WANTED: known to "+f.Percent()+", "+f.Wanted()+" was wanted")
	}
	when := "found " + x.run.First.At.Format(time.DateOnly)
	if by := x.run.First.Start.Operator; by != "" {
		when += " by " + by
	}
	return append(out, when+", run "+ids(x.run.First.Sum, x.run.Tail.Sum), foundCaution)
}

// LabelLines are the label in lines of text.
func (x *Found) LabelLines() []string { return append(x.label(), "opened ____________") }

// WritePage writes the record as one HTML page that needs nothing else.
func (x *Found) WritePage(w io.Writer) error {
	rec, f := New(x.run), x.f
	both, err := rec.view(x.WriteCurve)
	if err != nil {
		return err
	}
	v := foundView{drawn: both, Day: x.run.First.At.Format(time.DateOnly), Begin: x.run.First.At.Format("2 January 2006, 15:04 -07:00"),
		Flaw: x.run.Flaw(), Closed: cmp.Or(x.end.AtLast().Outcome, "not yet"),
		Answer: f.Words(), Percent: f.Percent(), Wanted: f.Wanted(), Limit: f.Limit(), Differ: phrase.UpperFirst(cmp.Or(f.Differ(), "no equivalence point was found")), Label: x.label(),
		Enough: f.Reached(), Points: f.Points(), Rest: x.end.FoundSteps(), Rests: append(x.rests(), rec.noted()...)}
	for _, c := range found.Classical(f.Classic) {
		v.Classic = append(v.Classic, row{c.Name, cmp.Or(c.ML, "too few readings there")})
	}
	for _, c := range f.Causes {
		share := fmt.Sprintf("%.2g %%", 100*c.SD)
		if f.What == find.Blank {
			share = fmt.Sprintf("%.2g mL", 1e3*c.SD)
		}
		v.Causes = append(v.Causes, row{string(c.Cause), share})
	}
	if err := foundTemplate.Execute(w, v); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

// WriteCurve draws the curve as believed with the readings at rest, and below it its
// first derivative, against the volume of the main titrant.
func (x *Found) WriteCurve(w io.Writer) error {
	b := x.end.Bench()
	stock := 0
	if x.f.Main >= 0 {
		stock = x.f.Stations[x.f.Main].Stock
	}
	per := b.LabelledCharge(oneML(stock)) // mol/mL
	steps := x.end.FoundSteps()
	hi := 1.0
	if n := len(steps); n > 0 {
		hi = math.Max(hi, 1.05*steps[n-1].ML)
	}
	if x.f.Main >= 0 {
		hi = math.Max(hi, 1.2*x.f.Stations[x.f.Main].Volume.Millilitres())
	}
	pts := x.end.Curve(0, chem.Amount(hi*per), 2*curvePoints)
	p := newPicture(tall)
	p.X = figure.NewScale(figure.Range{To: hi}, p.Across(), 8)
	p.X.Hi = hi
	lo, high := 7.0, 7.0
	for _, c := range pts {
		lo, high = math.Min(lo, c.PH), math.Max(high, c.PH)
	}
	for _, s := range steps {
		lo, high = math.Min(lo, s.PH), math.Max(high, s.PH)
	}
	p.Y = figure.NewScale(figure.Range{From: lo - 0.1, To: high + 0.1}, p.Up(), 7)
	p.Open("pH against titrant given: "+x.end.Setup.Plan.Name, "titrant given / mL of "+x.end.Setup.Stocks[stock].Name)
	x.derivative(p, pts, per)
	p.Curve(len(pts), func(i int) (float64, float64) { return pts[i].Charge / per, pts[i].PH }, fmt.Sprintf(`stroke="%s" stroke-width="2.2"`, figure.Line))
	for _, s := range steps {
		p.Ring(figure.Point{X: s.ML, PH: s.PH})
	}
	p.flawed(x.run.Flaw())
	return p.Finish(w)
}

// derivative draws dpH/dV in the lower third, and a line at each equivalence point.
func (x *Found) derivative(p *picture, pts []coach.CurvePoint, per float64) {
	most := 0.0
	slope := func(i int) float64 {
		d := (pts[i+1].Charge - pts[i-1].Charge) / per
		return math.Abs(pts[i+1].PH-pts[i-1].PH) / d
	}
	for i := 1; i < len(pts)-1; i++ {
		most = math.Max(most, slope(i))
	}
	for _, s := range x.f.Stations {
		v := s.Volume.Millilitres()
		if v > p.X.Hi {
			continue
		}
		p.Put(`<path d="M%.1f %g V%g" stroke="%s" stroke-dasharray="5 4"/>`, p.X.At(v), p.Top, p.Bottom, figure.Pale)
		p.Put(`<text x="%.1f" y="%g" text-anchor="end" stroke="white" stroke-width="3" paint-order="stroke">%s</text>`, p.X.At(v)-6, p.Top+14, figure.Escape(view.Spread(v, s.SD.Millilitres(), "mL")))
	}
	if most == 0 {
		return
	}
	third := (p.Y.Hi - p.Y.Lo) / 3
	p.Curve(len(pts), func(i int) (float64, float64) {
		if i == 0 || i >= len(pts)-1 {
			return math.NaN(), math.NaN()
		}
		return pts[i].Charge / per, p.Y.Lo + third*slope(i)/most
	}, fmt.Sprintf(`stroke="%s" stroke-width="1.4"`, figure.Rust))
}
