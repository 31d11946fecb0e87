package recipe

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/table"
)

// Find is the table [find] of a plan: an amount is looked for, not a pH.
type Find struct {
	What      string   `toml:"what" json:"what" says:"strength of the first titrant, amount in a sample, pk, or blank"`             // strength, amount, pk or blank
	Of        string   `toml:"of" json:"of,omitempty" says:"the reagent in the beaker to be determined"`                            // amount: the reagent in the beaker that is looked for; default the first
	SpreadPct *float64 `toml:"spread_pct" json:"spread_pct,omitempty" says:"how well it must be known, %"`                          // how well it has to be known; default 0.2
	SpreadPK  *float64 `toml:"spread_pk" json:"spread_pk,omitempty" says:"the same of a pK"`                                        // the same of a pK; default 0.05
	SpreadML  *float64 `toml:"spread_ml" json:"spread_ml,omitempty" says:"the same of a blank, mL"`                                 // the same of a blank; default 0.01
	GuessPct  *float64 `toml:"guess_pct" json:"guess_pct,omitempty" says:"how far off the amount below may be, %"`                  // how far off the amount in the plan may be; default 60
	Boiled    bool     `toml:"boiled" json:"boiled,omitempty" says:"carbon dioxide was boiled out, in an excess of acid"`           // carbon dioxide of what was weighed was boiled out, in an excess of acid
	PK        *float64 `toml:"pk" json:"pk,omitempty" says:"a guess"`                                                               // pk: a guess, where there is one
	WeighMG   *float64 `toml:"weigh_sd_mg" json:"weigh_sd_mg,omitempty" says:"of the balance, mg"`                                  // of the balance; default 0.2
	PuritySD  *float64 `toml:"purity_sd_pct" json:"purity_sd_pct,omitempty" says:"of the standard, %"`                              // of a standard; default 0.05
	SampleML  *float64 `toml:"sample_ml" json:"sample_ml,omitempty" says:"of the sample, mL"`                                       // of the sample, for its concentration
	SampleSD  *float64 `toml:"sample_sd_pct" json:"sample_sd_pct,omitempty" says:"of that volume, %"`                               // of that volume; default 0.1
	BlankML   *float64 `toml:"blank_ml" json:"blank_ml,omitempty" says:"of the first titrant, used by the same without sample, mL"` // of the first titrant that the same without sample takes up; default 0
	BlankSD   *float64 `toml:"blank_sd_ml" json:"blank_sd_ml,omitempty" says:"of that, mL"`                                         // of that; default 0.01 with a blank
	Carbonate *float64 `toml:"carbonate_pct" json:"carbonate_pct,omitempty" says:"carbonate in the base, mol in 100 mol"`           // mol of carbonate in 100 mol of base; default 0.5. The strength of a base is what it neutralises to pH 8 to 9
	CarbonSD  *float64 `toml:"carbonate_sd_pct" json:"carbonate_sd_pct,omitempty" says:"of that"`                                   // of that; default 0.5
	ReadML    *float64 `toml:"read_sd_ml" json:"read_sd_ml,omitempty" says:"of one reading of the burette, mL"`                     // of one reading of a burette; default 0.015
	MeterSD   *float64 `toml:"meter_sd_ph" json:"meter_sd_ph,omitempty" says:"of the calibration, pH"`                              // of the calibration; default 0.03
	SlopePct  *float64 `toml:"meter_slope_sd_pct" json:"meter_slope_sd_pct,omitempty" says:"of the slope of the meter, %"`          // of its slope; default 1
	BendSD    *float64 `toml:"meter_bend_sd_ph" json:"meter_bend_sd_ph,omitempty" says:"of what these leave of its scale, pH"`      // of what shift and slope leave of its scale; default 0.008
}

// Defaults of a determination. The reading of a burette, of divisions of 0.1 mL, is
// a third of half a division; what a class A burette may be off (50 mL: 0.05 mL, a
// summary of ISO 385, seen) is 0.1 % of a good filling. The rest is a choice.
const (
	findSpreadPct   = 0.2
	findSpreadPK    = 0.05
	findSpreadML    = 0.01
	findGuessPct    = 60.0
	findWeighMG     = 0.2
	findPurityPct   = 0.05
	findSamplePct   = 0.1
	findBlankML     = 0.01
	findCarbonPct   = 0.5
	findReadML      = 0.015
	findMeterSD     = 0.03
	findSlopePct    = 1.0
	findBend        = 0.008 // pH, of the scale of the meter
	findBendChem    = 0.01  // pH, of the activity of ions along the curve, times the change of the squared charge
	findHighPK      = 11.0  // of a step from which on it plays no part
	findBurettePct  = 0.1
	findStrengthPct = 10.0 // of a bottle whose strength is looked for
	findPKSpread    = 2.5  // of a constant of which nothing is known
	findChemPK      = 0.02 // pK, what activity coefficients leave open along the curve, times the change of the squared charge
	aimWidth        = 0.5  // pH, half width of the equivalence point as a target
)

// kinds of determinations, as a plan names them.
var finds = map[string]find.What{"strength": find.Strength, "amount": find.Amount, "pk": find.Constant, "blank": find.Blank}

// Names of the sample whose pK is looked for.
const (
	unknownAcid = "unknown acid"
	unknownBase = "unknown base"
)

// primary are the standards that a strength may rest on (Vogel's Textbook of
// Quantitative Chemical Analysis: from memory), with what to do before weighing.
var primary = map[string]string{
	"potassium hydrogen phthalate": "dried for 2 h at 110 to 120 °C",
	"sodium carbonate":             "dried for 1 h at 260 to 270 °C, kept over a drying agent",
	"Tris":                         "primary standard grade, dried at 100 to 103 °C",
	"oxalic acid":                  "the dihydrate, air-dry, not oven-dried",
	"borax":                        "the decahydrate, kept over a saturated solution of sodium chloride and sucrose",
}

// hydrateOf are the standards that are weighed with their water.
var hydrateOf = map[string]string{"oxalic acid": "dihydrate", "borax": "decahydrate"}

// findTarget checks what is looked for, where it takes the place of a target.
func (s *Setup) findTarget(p Plan, bad *Problems) {
	what, ok := finds[p.Find.What]
	if !ok {
		bad.Add("find.what", fmt.Sprintf("%q is none of strength, amount, pk, blank", p.Find.What), `what = "strength" of the first titrant, "amount" in a sample, "pk" of an unknown weak acid or base, or "blank" without any`)
	}
	s.What, s.Tolerance, s.Target = what, aimWidth, 7
	if p.Target != (Target{}) {
		bad.Add("target", "a plan that determines an amount has no target", "leave [target] out, or [find]")
	}
	f := p.Find
	for _, v := range []struct {
		key     string
		v       *float64
		low, up float64
	}{{"spread_pct", f.SpreadPct, 0.01, 20}, {"spread_pk", f.SpreadPK, 0.005, 1}, {"spread_ml", f.SpreadML, 0.0005, 1}, {"guess_pct", f.GuessPct, 1, 200}, {"weigh_sd_mg", f.WeighMG, 0.001, 100},
		{"purity_sd_pct", f.PuritySD, 0.001, 20}, {"sample_ml", f.SampleML, 0.1, 1e5}, {"sample_sd_pct", f.SampleSD, 0.001, 20}, {"blank_ml", f.BlankML, -10, 10},
		{"blank_sd_ml", f.BlankSD, 0.0001, 10}, {"carbonate_pct", f.Carbonate, 0, 50}, {"carbonate_sd_pct", f.CarbonSD, 0.001, 50}, {"read_sd_ml", f.ReadML, 0.0001, 1},
		{"meter_sd_ph", f.MeterSD, 0.001, 2}, {"meter_slope_sd_pct", f.SlopePct, 0.01, 30}, {"meter_bend_sd_ph", f.BendSD, 0, 0.5}, {"pk", f.PK, 1, 13}} {
		if v.v != nil && !(*v.v >= v.low && *v.v <= v.up) {
			bad.Add("find."+v.key, fmt.Sprintf("%g is outside %g–%g", *v.v, v.low, v.up), "")
		}
	}
	if n := len(p.Weighed); n == 0 && what != find.Blank {
		bad.Add("weighed", "nothing is in the beaker", "name what was weighed or pipetted in: reagent, and mmol or grams; for a sample, about as much as you expect")
	} else if what == find.Constant && n > 1 {
		bad.Add("weighed", "a pK can be found only in a sample of one substance", "leave the others out")
	}
}

// unknown is the sample of which a pK is looked for; false for any other.
func (p *Plan) unknown(w Weighed) (table.Reagent, chem.Amount, bool, error) {
	if p.Find == nil || p.Find.What != "pk" {
		return table.Reagent{}, 0, false, nil
	}
	name := strings.ToLower(strings.TrimSpace(w.Reagent))
	if name != unknownAcid && name != unknownBase {
		return table.Reagent{}, 0, true, &FieldError{"reagent", fmt.Sprintf("%q: the pK of what is in the tables is known", w.Reagent), `reagent = "unknown acid" or "unknown base"; for a known substance find the amount`}
	}
	if w.MMol == nil || w.Grams != nil {
		return table.Reagent{}, 0, true, &FieldError{"mmol", "missing", "about how many mmol are in the sample? A factor of two either way is good enough"}
	}
	pk, charge := 5.0, 0
	if name == unknownBase {
		pk, charge = 9, 1
	}
	pk = or(p.Find.PK, pk)
	spread := findPKSpread
	sys := &chem.System{Name: name, Charge: charge, Steps: []chem.Step{{PK: pk, Spread: spread}}}
	return table.Reagent{Name: name, Form: "sample", Formula: "?", Parts: []table.Part{{System: sys, Count: 1}}}, chem.Amount(*w.MMol) * chem.Millimole, true, nil
}

// guide is the setup for the estimate of an amount, and the bench that goes with it.
func (s *Setup) guide(b *coach.Bench) error {
	f := s.Plan.Find
	g := &find.Bench{Temp: b.Model.Temp(), Systems: b.Model.Systems(), Water: b.Water, What: s.What,
		Goal: or(f.SpreadPct, findSpreadPct) / 100, GoalPK: or(f.SpreadPK, findSpreadPK), Start: s.Start, Vessel: s.Final,
		ShiftSD: or(f.MeterSD, findMeterSD), SlopeSD: or(f.SlopePct, findSlopePct) / 100, BendSD: or(f.BendSD, findBend)}
	if s.What == find.Blank {
		g.Goal = or(f.SpreadML, findSpreadML) / 1e3
	}
	if f.BlankML != nil {
		g.Blank, g.BlankSD = *f.BlankML/1e3, s.BlankSD()/1e3
	}
	if f.SampleML != nil {
		g.SampleML, g.SampleSD = *f.SampleML, or(f.SampleSD, findSamplePct)/100
	}
	for i, p := range s.Weighed {
		part, err := s.part(b.Model, p, i)
		if err != nil {
			return err
		}
		g.Parts = append(g.Parts, part)
	}
	g.Of = s.wanted()
	for j, st := range s.Stocks {
		g.Stocks = append(g.Stocks, s.titrantOf(st, b.Stocks[j], j))
	}
	s.constants(g)
	b.Guide, b.Unweighed, b.Mistakes = g, true, nil
	fc := g.Forecast()
	b.Target = math.Min(math.Max(fc.Aim, 1), 13)
	for j := range b.Stocks {
		g.Labelled = append(g.Labelled, b.LabelledCharge(coach.Addition{Stock: j, Volume: chem.Litre}))
	}
	return nil
}

// BlankSD is the spread of the blank that a plan takes off, mL.
func (s *Setup) BlankSD() float64 { return or(s.Plan.Find.BlankSD, findBlankML) }

// Sought is the place in the beaker of what is looked for, or of the standard that a
// strength rests on.
func (s *Setup) Sought() int {
	if s.Plan.Find == nil {
		return 0
	}
	return max(s.wanted(), 0)
}

// wanted is the place in the beaker of what is looked for, or of the standard.
func (s *Setup) wanted() int {
	of := s.Plan.Find.Of
	if of == "" {
		return 0
	}
	for i, p := range s.Weighed {
		if strings.EqualFold(of, s.Plan.Weighed[i].Reagent) || strings.EqualFold(of, p.Reagent.Name) {
			return i
		}
	}
	return -1
}

// part is what is known of a substance in the beaker.
func (s *Setup) part(m *chem.Model, p Portion, i int) (find.Part, error) {
	f := s.Plan.Find
	dry, err := m.Compose(p.Reagent.Dissolved(p.Amount))
	if err != nil {
		return find.Part{}, fmt.Errorf("recipe: %w", err)
	}
	dry.Water = 0
	out := find.Part{Name: p.Reagent.Name, Dry: dry, Moles: p.Amount.Moles()}
	if s.What != find.Strength && s.What != find.Blank && i == s.wanted() {
		out.SD = math.Log1p(or(f.GuessPct, findGuessPct) / 100)
		return out, nil
	}
	mg := p.Amount.Moles() * float64(p.Reagent.MolarMass) * 1e3
	weigh, purity := or(f.WeighMG, findWeighMG)/math.Max(mg, 1e-3), or(f.PuritySD, findPurityPct)/100
	if s.Plan.Weighed[i].Grams == nil {
		weigh = 0 // the amount is given as it is, with the spread of its purity
	}
	out.SD = math.Hypot(weigh, purity)
	out.Causes = []find.Spread{{Cause: find.OfBalance, SD: weigh}, {Cause: find.OfPurity, SD: purity}}
	return out, nil
}

// titrantOf is what is known of a titrant.
func (s *Setup) titrantOf(st Stock, c coach.Stock, j int) find.Stock {
	f, t := s.Plan.Find, find.Stock{Name: st.Name, PerLitre: c.PerLitre, Molar: float64(st.Molar), Step: st.Drop, SizeSD: st.DropSD, StrengthSD: st.MolarSD}
	if j < len(s.Plan.Titrants) {
		p := s.Plan.Titrants[j]
		switch p.By {
		case burette:
			t.By, t.ReadSD = find.Burette, chem.Volume(or(f.ReadML, findReadML))*chem.Millilitre
			t.SizeSD = or(p.MLSDPct, findBurettePct) / 100
		case Pipette:
			t.By, t.ReadSD = find.Pipette, st.Drop/2
		}
		if s.What == find.Strength && j == 0 && p.MolarSDPct == nil {
			t.StrengthSD = findStrengthPct / 100
		}
	}
	if st.Reagent.StrongBase() {
		t.Carbonate, t.CarbonSD = or(f.Carbonate, findCarbonPct)/100, or(f.CarbonSD, findCarbonPct)/100
	}
	return t
}

// constants are the pK that are not taken for true: those of what is in the beaker.
func (s *Setup) constants(g *find.Bench) {
	for i, sys := range g.Systems {
		if !slices.ContainsFunc(g.Parts, func(p find.Part) bool { return p.Dry.Totals[i] != 0 }) {
			continue
		}
		for k, st := range sys.Steps {
			z := float64(sys.Charge - k) // of the form that loses the proton
			if change := math.Abs((z-1)*(z-1) - z*z); st.PK < findHighPK {
				g.BendSD = math.Max(g.BendSD, findBendChem*change)
			}
			g.PKs = append(g.PKs, find.PK{System: i, Step: k, SD: math.Hypot(math.Max(st.Spread, 0.01), findChemPK*math.Abs((z-1)*(z-1)-z*z))})
		}
	}
}

// withCarbonate are the systems with carbonate among them, where a base may hold it.
func (s *Setup) withCarbonate(list []*chem.System) []*chem.System {
	if s.Plan.Find == nil || !slices.ContainsFunc(s.Stocks, func(st Stock) bool { return st.Reagent.StrongBase() }) {
		return list
	}
	if carb, err := table.System("carbonate"); err == nil {
		return Union(list, carb)
	}
	return list
}
