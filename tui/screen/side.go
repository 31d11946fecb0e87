package screen

import (
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/widget"
)

// lane is the scale with aim, reading and landing.
func lane(st State) widget.Lane {
	v := st.View
	l := widget.Lane{Aim: v.Advice.Aim, Tolerance: v.Advice.Tolerance, Decimals: decimals(v), AimDigits: aimDigits(v), LandDigits: v.LandingDigits(),
		HasNow: v.Away == nil && usable(v) && (v.Next == nil || !v.Next.Mixing), Now: v.PH, Settled: settled(v)}
	if len(v.Points) > 0 {
		l.Down = v.Points[0].PH > l.Aim
	}
	if lands(v) {
		l.HasLanding, l.Low, l.After, l.High = true, v.Advice.Low, v.Advice.After, v.Advice.High
	}
	return l
}

// lands reports whether what is ordered says where the beaker will be: not while another
// amount, or another bottle, is falling.
func lands(v view.View) bool {
	if v.Advice.Do != coach.Add {
		return false
	}
	g := v.Giving
	return g == nil || g.Drops == v.Advice.Drops && g.Titrant == v.Titrant
}

// axis is the titrant in whose mL the curve is drawn: the strongest of those
// that lead from the start to the aim. perML is labelled charge, mol/mL.
func axis(v view.View) (name string, perML float64) {
	for j, q := range v.PerLitre {
		if j < len(v.Titrants) && q*v.Aimed > 0 && math.Abs(q) > math.Abs(perML*1000) {
			name, perML = v.Titrants[j], q/1000
		}
	}
	return name, perML
}

// graph is the predicted curve with what was measured.
func graph(st State) widget.Plot {
	v := st.View
	name, per := axis(v)
	label := "mL " + name
	if per == 0 {
		label, per = "mmol titrant", math.Copysign(1e-3, v.Aimed)
	}
	p := widget.Plot{Aim: v.Advice.Aim, Tolerance: v.Advice.Tolerance, XLabel: label, YLabel: "pH",
		AimText: aimText(v)}
	for _, c := range v.Curve {
		p.Curve = append(p.Curve, widget.CurvePoint{X: c.Charge / per, Y: c.PH, Low: c.Low, High: c.High})
	}
	for i, m := range v.Points {
		if i < len(v.Points)-1 && m.SD >= view.EndSD {
			continue // the next addition came before its reading said anything
		}
		p.Points = append(p.Points, widget.Point{X: m.Charge / per, Y: m.PH})
	}
	if lands(v) && v.Advice.Stock < len(v.PerLitre) {
		x := (v.Charge + v.Advice.Volume.Litres()*v.PerLitre[v.Advice.Stock]) / per
		p.Landing = &widget.CurvePoint{X: x, Y: v.Advice.After, Low: v.Advice.Low, High: v.Advice.High}
	}
	return p
}

// drawSide lists what was asked for and what was done.
func drawSide(s *widget.Sheet, r widget.Rect, st State) {
	row := 0
	for _, line := range facts(st, r.W) {
		x := s.PutIn(r, row, line.ink, line.text, st.Set)
		if line.bar {
			drawBar(s, widget.Rect{X: x + 1, Y: r.Y + row, W: r.X + r.W - x - 1, H: 1}, st)
		}
		row++
	}
	if r.H >= 14 {
		s.PutIn(r, row, widget.Plain, room(st.View), st.Set)
		row += 2
	}
	drawAdditions(s, widget.Rect{X: r.X, Y: r.Y + row, W: r.W, H: r.H - row}, st)
}

// inked is a line of text with its look; a bar may stand behind it.
type inked struct {
	text string
	ink  widget.Ink
	bar  bool
	rank int // where there is hardly room, low ones go first
}

func facts(st State, w int) []inked {
	v, set := st.View, st.Set
	use, now := degrees(v.UseTemp), degrees(v.BenchTemp)
	target, aim := "target "+target(v), "aim "+aimNow(v)
	if v.Found != nil {
		return sought(st, w)
	}
	wanted := []string{target + " in use at " + use, target + " at " + use, target}
	if v.Unweighed {
		wanted = []string{"the beaker as it is"}
	}
	lines := []inked{
		{widget.FirstFit(w, set, wanted...), widget.Plain, false, 2},
		{widget.FirstFit(w, set, aim+" here at "+now, aim+" at "+now, aim), widget.Aim, false, 3}, // over the scale as well
		{volume(v), widget.Plain, true, 2},
	}
	if left := toGo(v); len(left) > 0 {
		lines = append(lines, inked{widget.FirstFit(w, set, left...), widget.Strong, false, 1})
	}
	if plan := planned(v.Tolerance); w >= 40 && v.Advice.Tolerance > 0 && v.Advice.Tolerance < v.Tolerance && plan != within(v) {
		lines = append(lines, inked{"plan ±" + plan + ", less what the calibration takes", widget.Faint, false, 0})
	}
	if n := len(v.Amended); n > 0 {
		lines = append(lines, inked{"amended: " + v.Amended[n-1], widget.Strong, false, 1})
	}
	if v.Refused > 0 {
		text := fmt.Sprintf("%s %s rejected", set.Warn, phrase.Counted(v.Refused, "reading"))
		if w >= 40 && v.Refusal != "" {
			text += ": " + v.Refusal
		}
		lines = append(lines, inked{text, widget.Warn, false, 0})
	}
	return lines
}

// toGo is how much of a titrant the curve, as believed now, says leads to the aim, and
// how much of it is still to come; wordings from long to short.
func toGo(v view.View) []string {
	name, per := axis(v)
	total := reaches(v, v.Advice.Aim, math.NaN())
	if e := v.Settling; e.State != probe.Moving && e.State != probe.Empty && e.SD < view.VagueSD && v.Away == nil {
		if at := reaches(v, e.End, v.Charge); !math.IsNaN(at) {
			total += v.Charge - at // from where the reading lies, which drops and labels may have missed
		}
	}
	if ml, after := step(v, name); ml > 0 {
		if at := reaches(v, after, v.Charge); !math.IsNaN(at) {
			total = v.Charge + ml*per + reaches(v, v.Advice.Aim, at) - at // the step knows the beaker better, and stands beside it
		}
	}
	if per == 0 || math.IsNaN(total) || v.Advice.Do == coach.Stop || v.Advice.Reason == coach.HandsOff {
		return nil // it is reached, or nothing is to be given
	}
	all, left := total/per, (total-v.Charge)/per
	if all <= 0 || left < 0 || !onCurve(v) {
		return nil // past it, and the card says the way back; or the curve is not that of the beaker
	}
	dec := 2 // as many as tell something of what is left
	switch {
	case left >= 10:
		dec = 0
	case left >= 1:
		dec = 1
	}
	a, b := widget.Number(all, dec), widget.Number(left, dec)
	if strings.Trim(b, "0.") == "" {
		return nil // there, as far as an addition can tell
	}
	if left > all { // something was added that led away from the aim
		return []string{fmt.Sprintf("to the aim %s mL %s to go", b, name), b + " mL to go"}
	}
	return []string{fmt.Sprintf("to the aim %s mL %s, %s to go", a, name, b), fmt.Sprintf("%s of %s mL to go", b, a)}
}

// step is the addition that the screen names, ordered or offered, when it is of that
// titrant, in mL, and the pH that it is expected to end at.
func step(v view.View, name string) (ml, after float64) {
	switch a, o := v.Advice, v.Offer; {
	case a.Do == coach.Add && a.Stock < len(v.Titrants) && v.Titrants[a.Stock] == name:
		return a.Volume.Millilitres(), a.After
	case o != nil && o.Titrant == name:
		return o.Volume.Millilitres(), o.After
	}
	return 0, math.NaN()
}

// onCurve reports whether the reading is where the curve has it, as far as both are known:
// what was not recorded, or did not reach the beaker, is not in the curve.
func onCurve(v view.View) bool {
	e := v.Settling
	if v.Away != nil || e.State == probe.Empty || e.State == probe.Moving || !(e.SD < view.VagueSD) {
		return true // nothing speaks against it
	}
	for i := 1; i < len(v.Curve); i++ {
		a, b := v.Curve[i-1], v.Curve[i]
		if a.Charge == b.Charge || (a.Charge-v.Charge)*(b.Charge-v.Charge) > 0 {
			continue
		}
		at := func(x, y float64) float64 { return x + (y-x)*(v.Charge-a.Charge)/(b.Charge-a.Charge) }
		slack := 2*e.SD + offCurve
		return at(a.Low, b.Low)-slack < e.End && e.End < at(a.High, b.High)+slack
	}
	return true
}

// offCurve is how far beyond the band of the curve and twice its own spread a reading may
// be, pH (choice): what is left to give is told in tenths there.
const offCurve = 0.1

// reaches is the labelled charge at which the curve comes to a pH: the first, or the
// nearest to another charge; NaN when it does not.
func reaches(v view.View, ph, near float64) float64 {
	at := math.NaN()
	for i := 1; i < len(v.Curve); i++ {
		a, b := v.Curve[i-1], v.Curve[i]
		if (a.PH-ph)*(b.PH-ph) > 0 || a.PH == b.PH {
			continue
		}
		q := a.Charge + (b.Charge-a.Charge)*(ph-a.PH)/(b.PH-a.PH)
		if math.IsNaN(near) {
			return q
		}
		if !(math.Abs(at-near) <= math.Abs(q-near)) {
			at = q
		}
	}
	return at
}

// volume is how full the vessel is, in numbers.
func volume(v view.View) string {
	if v.Unweighed { // the mark is how far the coach goes, and nobody's
		return millilitres(v.Volume, 1) + " mL in the beaker"
	}
	text := millilitres(v.Volume, 1) + " of " + widget.Number(v.Final.Millilitres(), 0) + " mL"
	if v.Volume > v.Final {
		text += ", over the mark"
	}
	return text
}

// room is what still fits under the mark.
func room(v view.View) string {
	switch {
	case v.Unweighed:
		return ""
	case v.Volume > v.Final:
		return millilitres(v.Volume-v.Final, 1) + " mL too much for the mark"
	}
	return millilitres(v.Final-v.Volume, 1) + " mL room under the mark"
}

// drawBar shows the same as a bar up to the mark.
func drawBar(s *widget.Sheet, r widget.Rect, st State) {
	v := st.View
	if r.W < 6 || v.Unweighed || !(v.Final > 0) || v.Volume > v.Final {
		return
	}
	s.PutIn(r, 0, widget.Model, widget.Bar(float64(v.Volume/v.Final), min(r.W, 20), st.Set), st.Set)
}

// drawAdditions lists the additions that fit, the latest last.
func drawAdditions(s *widget.Sheet, r widget.Rect, st State) {
	v, set := st.View, st.Set
	n := 0
	for _, e := range v.Entries {
		if !e.Undone {
			n++
		}
	}
	title := "no additions yet"
	if n > 0 {
		title = phrase.Counted(n, "addition")
	}
	s.PutIn(r, 0, widget.Strong, title, set)
	list := v.Entries
	if len(list) > r.H-1 {
		list = list[len(list)-max(r.H-1, 0):]
	}
	for i, e := range list {
		ink, at := widget.Plain, phrase.Watch(e.T)+"  "
		if e.Undone {
			ink = widget.Faint
		}
		text := entry(v, e)
		if room := r.W - widget.Width(at); widget.Width(set.Text(text)) > room {
			if text = briefEntry(v, e); e.Undone && widget.Width(set.Text(text)) > room {
				at = "" // what it was goes before when it was
			}
		}
		x := s.PutIn(r, 1+i, widget.Faint, at, set)
		s.PutIn(widget.Rect{X: x, Y: r.Y + 1 + i, W: r.X + r.W - x, H: 1}, 0, ink, text, set)
	}
}

// briefEntry is an addition in fewer words, so that its bottle has room: that it was
// corrected stands in the record.
func briefEntry(v view.View, e view.Entry) string {
	e.Changed = false
	if !e.Undone {
		return entry(v, e)
	}
	e.Undone = false
	return "undone: " + entry(v, e)
}

// entry is an addition in words.
func entry(v view.View, e view.Entry) string {
	text, _, _ := strings.Cut(view.Amount(e.Drops, e.Volume), " (")
	if e.Undone {
		text = "withdrawn: " + text
	}
	if e.Changed {
		text += ", corrected,"
	}
	if e.Stock < len(v.Titrants) {
		text += " " + v.Titrants[e.Stock]
	}
	return text
}

// Additions are the additions in words, one a line.
func Additions(v view.View) []string {
	var out []string
	for _, e := range v.Entries {
		out = append(out, phrase.Watch(e.T)+" "+entry(v, e))
	}
	return out
}
