package report

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/meter/run/view"
)

// noted are masses and lots that were entered at the bench.
func (rec *Record) noted() (out []row) {
	for _, w := range rec.Weighed {
		var parts []string
		if w.Taken > 0 {
			parts = append(parts, strconv.FormatFloat(w.Taken, 'f', -1, 64)+" g weighed")
		}
		if w.Lot != "" {
			parts = append(parts, "lot "+w.Lot)
		}
		if len(parts) > 0 {
			out = append(out, row{w.Reagent, strings.Join(parts, ", ") + ", as entered at the bench"})
		}
	}
	for _, t := range rec.Titrants {
		if t.Lot != "" {
			out = append(out, row{t.Name, "lot " + t.Lot + ", as entered at the bench"})
		}
	}
	return out
}

// rests is what an answer rests on, beside the readings: what was weighed and pipetted,
// what the titrant is given by, the blank, and what was known of the bottle before.
func (x *Found) rests() (out []row) {
	add := func(name, format string, a ...any) { out = append(out, row{name, fmt.Sprintf(format, a...)}) }
	s := x.end.Setup
	g, ok := x.end.Bench().Guide.(*find.Bench)
	if !ok {
		return nil
	}
	for i, w := range s.Plan.Weighed {
		name, p := s.Weighed[i].Reagent.FullName(), g.Parts[i]
		switch {
		case s.What != find.Strength && i == g.Of:
			add(name, "to be determined; about %.4g mmol was expected", 1e3*p.Moles)
		case w.Grams != nil:
			purity := 100.0
			if w.PurityPct != nil {
				purity = *w.PurityPct
			}
			add(name, "%.4f g, of %.5g %%: %.4f mmol ± %.2g %%", *w.Grams, purity, 1e3*p.Moles, 100*p.SD)
		default:
			add(name, "%.4f mmol ± %.2g %%", 1e3*p.Moles, 100*p.SD)
		}
	}
	if g.SampleML > 0 {
		add("sample", "%.4g mL ± %.2g %%", g.SampleML, 100*g.SampleSD)
	}
	for j, st := range g.Stocks {
		by := fmt.Sprintf("drops of %.3g µL ± %.2g %%", st.Step.Microlitres(), 100*st.SizeSD)
		if st.By != find.Drops {
			by = fmt.Sprintf("mL ± %.2g %%, read to ± %.3f mL", 100*st.SizeSD, st.ReadSD.Millilitres())
		}
		strength := fmt.Sprintf("%.4g mol/L ± %.2g %%", st.Molar, 100*st.StrengthSD)
		if s.What == find.Strength && j == 0 {
			strength = fmt.Sprintf("labelled %.4g mol/L", st.Molar)
		}
		add(st.Name, "%s; %s", strength, by)
	}
	if g.Blank != 0 || g.BlankSD != 0 {
		add("blank", "%s of %s, subtracted", view.Spread(1e3*g.Blank, 1e3*g.BlankSD, "mL"), g.Stocks[0].Name)
	}
	if f := x.f; f.CarbonateSD > 0 {
		add("carbonate in the base", "%s mol in 100 mol; the strength is what it neutralises to pH 8 to 9", view.Spread(100*f.Carbonate, 100*f.CarbonateSD, ""))
	}
	if t := x.end.Taken(); t != nil {
		for _, w := range t.Words() {
			add("from earlier runs", "%s", w)
		}
	}
	return out
}
