package score

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/sim"
)

// Determination is what became of an exercise in which an amount is looked for.
type Determination struct {
	Name  string  `json:"name"`  // of the bottle or the substance
	Unit  string  `json:"unit"`  // of the values: mol/L of a bottle, mmol of a substance
	Value float64 `json:"value"` // in truth
	// Found and SD are the answer of all readings on record, and its spread; 0 where
	// they allow none.
	Found  float64 `json:"found"`
	SD     float64 `json:"sd"`
	Wanted float64 `json:"spread_wanted"`       // relative
	ML     float64 `json:"equivalence_ml"`      // in truth, of the first bottle: the point that lies nearest to what was said
	PK     float64 `json:"pk,omitempty"`        // in truth, where it is looked for
	PKSD   float64 `json:"pk_sd,omitempty"`     // of what the readings say
	Said   string  `json:"said,omitempty"`      // the answer of the person, as written last
	Error  float64 `json:"error"`               // of the answer that counts, relative; 1 without one
	Sides  [2]bool `json:"read_on_both_sides"`  // at rest near the equivalence point: before it, beyond it
	Best   float64 `json:"spread_of_the_coach"` // relative, on the same bench

	errPK float64 // of the pK that counts, in pH; NaN where none is looked for
}

// facts is what is true of what is looked for.
type facts struct {
	value  float64   // mol/L of a bottle, mol of a substance
	pk     float64   // NaN where none is looked for
	sample float64   // mol/L of the sample; NaN where its volume is not known
	points []float64 // equivalence points, mL of the first bottle as it is counted
	main   float64   // the sharpest of them
}

// factsOf are those of a bench. The points are those of the stoichiometry: what was
// really weighed, neutralised by what the bottle really holds.
func factsOf(e *practice.Exercise, b *sim.Bench, s *recipe.Setup) (facts, error) {
	f := facts{pk: math.NaN(), sample: math.NaN(), main: math.NaN()}
	c, err := s.Bench(s.BenchTemp)
	if err != nil {
		return f, fmt.Errorf("score: %w", err)
	}
	g, ok := c.Guide.(*find.Bench)
	if !ok {
		return f, fmt.Errorf("score: %s: no amount is to be found", e.Name)
	}
	tr := b.Truth()
	for k := range g.Parts {
		is := tr.Weighed[k].Amount.Moles() * math.Exp(tr.LnAmount)
		g.Parts[k].Dry = chem.Composition{}.Plus(is/g.Parts[k].Moles, g.Parts[k].Dry)
		g.Parts[k].Moles = is
	}
	for j := range g.Stocks {
		g.Know(j, find.Known{LnStrength: tr.LnStrength[j]})
		g.Stocks[j].Carbonate, g.Stocks[j].CarbonSD = 0, 0 // that of the simulator holds none
	}
	f.value = g.Parts[g.Of].Moles
	if g.What == find.Strength {
		f.value = float64(s.Stocks[0].Molar) * math.Exp(tr.LnStrength[0])
	}
	if g.SampleML > 0 {
		f.sample = f.value / g.SampleML * 1e3
	}
	if g.What == find.Constant {
		for _, p := range tr.Weighed[0].Reagent.Parts {
			if p.System != nil {
				f.pk = p.System.Steps[0].PKAt(b.Truth().Temp)
				if d := tr.PKShift[p.System.Name]; len(d) > 0 {
					f.pk += d[0]
				}
			}
		}
	}
	bel, err := g.Believe(coach.History{})
	if err != nil {
		return f, fmt.Errorf("score: %w", err)
	}
	sharp := 0.0
	for _, st := range bel.Stations() {
		if st.Stock != 0 {
			continue
		}
		ml := st.Volume.Millilitres()
		if !s.Stocks[0].ByML { // drops are counted as planned
			ml /= math.Exp(tr.LnDrop[s.Stocks[0].Dropper])
		}
		f.points = append(f.points, ml)
		if st.Sharp > sharp {
			f.main, sharp = ml, st.Sharp
		}
	}
	return f, nil
}

// stated is an answer that the person has written down as a remark: a number with its
// unit. kind is ml, mol/l, mmol or pk.
type stated struct {
	kind  string
	value float64
	text  string
}

var statedForm = regexp.MustCompile(`(?i)^\s*answer\b\s*[:=]?\s*(pka?\s*[:=]?\s*)?([0-9]+(?:[.,][0-9]+)?)\s*(ml|mol/l|m|mmol)?\s*\.?\s*$`)

// statedIn is the answer in a remark; false in any other.
func statedIn(text string) (stated, bool) {
	m := statedForm.FindStringSubmatch(text)
	if m == nil {
		return stated{}, false
	}
	x, err := strconv.ParseFloat(strings.ReplaceAll(m[2], ",", "."), 64)
	kind := strings.ToLower(m[3])
	switch {
	case err != nil || (kind == "") == (m[1] == ""): // either a pK or a unit
		return stated{}, false
	case m[1] != "":
		kind = "pk"
	case kind == "m":
		kind = "mol/l"
	}
	return stated{kind, x, strings.TrimSpace(text)}, true
}

// said are the answers of a run, the latest of each kind.
func said(events func(func(journal.Event) bool)) map[string]stated {
	out := map[string]stated{}
	for ev := range events {
		if ev.Remark == nil || ev.Remark.Code != "" {
			continue
		}
		if a, ok := statedIn(ev.Remark.Text); ok {
			out[a.kind] = a
		}
	}
	return out
}

// sought is what a run has found, against what is true.
func (j *judge) sought(b *sim.Bench, s *recipe.Setup) (*Determination, error) {
	f, err := factsOf(j.e, b, s)
	if err != nil {
		return nil, err
	}
	end := j.run.End()
	d := &Determination{Unit: "mol/L", Value: f.value, ML: f.main, Error: 1, errPK: math.NaN(), Best: j.res.Coached.Spread}
	if s.What != find.Strength {
		d.Unit, d.Value = "mmol", 1e3*f.value
	}
	if math.IsNaN(d.ML) {
		d.ML = 0 // no equivalence point shows
	}
	scale := d.Value / f.value
	found := end.Finding(end.T)
	if found != nil {
		d.Name, d.Wanted, d.Found, d.SD, d.PKSD = found.Name, found.Goal, scale*found.Value, scale*found.SD, found.PKSD
	}
	d.sides(end.FoundSteps(), f)
	if !math.IsNaN(f.pk) {
		d.PK, d.errPK = f.pk, 1
	}
	switch {
	case j.slip.Coach == practice.Full && found != nil:
		d.Error = math.Abs(found.Value/f.value - 1)
		d.Said = found.Short()
		if d.PK != 0 {
			d.errPK = math.Abs(found.PK - f.pk)
		}
	case j.slip.Coach != practice.Full:
		d.answered(said(j.run.Others), f)
	}
	return d, nil
}

// answered compares what the person has said with what is true.
func (d *Determination) answered(list map[string]stated, f facts) {
	var texts []string
	for _, kind := range []string{"ml", "mol/l", "mmol", "pk"} {
		a, ok := list[kind]
		if !ok {
			continue
		}
		texts = append(texts, strings.TrimLeft(a.text[len("answer"):], " :="))
		off := math.NaN()
		switch {
		case kind == "pk":
			d.errPK = math.Abs(a.value - f.pk)
			continue
		case kind == "ml":
			for _, p := range f.points {
				if x := math.Abs(a.value/p - 1); math.IsNaN(off) || x < off {
					off, d.ML = x, p
				}
			}
		case kind == "mmol" && d.Unit == "mmol":
			off = math.Abs(a.value/d.Value - 1)
		case kind == "mol/l" && d.Unit == "mol/L":
			off = math.Abs(a.value/d.Value - 1)
		case kind == "mol/l":
			off = math.Abs(a.value/f.sample - 1)
		}
		if off < d.Error {
			d.Error = off
		}
	}
	d.Said = strings.Join(texts, ", ")
}

// nearPoint is how near an equivalence point a reading has to be to count as one of
// its side, as a share of the volume (choice).
const nearPoint = 0.15

// atRest is the spread of a reading that counts as one, pH; goodEnough that of one by which
// the answer is known as well as was to be had: where the curve is steep it says the volume
// closely before it is at rest (choice).
const atRest, goodEnough = 0.05, 0.1

// sides notes on which sides of an equivalence point was read at rest.
func (d *Determination) sides(list []view.FoundStep, f facts) {
	most := atRest
	if d.enough() {
		most = goodEnough
	}
	for _, p := range f.points {
		var at [2]bool
		for _, r := range list {
			switch x := r.ML/p - 1; {
			case math.Abs(x) > nearPoint || r.SD > most:
			case x < 0:
				at[0] = true
			default:
				at[1] = true
			}
		}
		if at[0] && at[1] || !d.Sides[0] && !d.Sides[1] {
			d.Sides = at
		}
	}
}

// Words are the answer in truth: "0.1043 mol/L".
func (d *Determination) Words() string {
	text := fmt.Sprintf("%.4g %s", d.Value, d.Unit)
	if d.PK != 0 {
		text += fmt.Sprintf(", pK %.2f", d.PK)
	}
	return text
}
