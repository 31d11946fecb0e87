package solved

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem"
)

// species lists the forms of every system, water first, complexes last; and
// the metal ions.
func (d *description) species() (out []Species, metals []Free) {
	in := d.inside
	log := func(p chem.Present) float64 { return p.LnG / math.Ln10 }
	out = []Species{
		{Name: "H+", System: "water", Charge: 1, Molality: in.H.Molality, LogGamma: log(in.H)},
		{Name: "OH-", System: "water", Charge: -1, Molality: in.OH.Molality, LogGamma: log(in.OH)},
	}
	for i, s := range d.model.Systems() {
		f := &in.Systems[i]
		if f.Air {
			continue
		}
		total := d.comp.Totals[i] / d.comp.Water
		for j, share := range f.Share {
			x := Species{Name: formName(s, j), System: s.Name, Charge: s.Charge - j, Molality: f.Free * share, Unverified: doubtful(s, j, f.Share), LogGamma: f.LnG[j] / math.Ln10}
			if x.Fraction = share; total > 0 {
				x.Fraction = share * f.Free / total
			}
			out = append(out, x)
		}
		if f.Metal && len(s.Steps) > 0 || aqua(s) {
			metals = append(metals, Free{System: s.Name, Total: total, Free: f.Free * f.Share[0]})
		}
	}
	if all := in.Air[0].Molality + in.Air[1].Molality + in.Air[2].Molality; all > 0 {
		for j, x := range in.Air {
			out = append(out, Species{Name: [3]string{"CO2", "HCO3-", "CO3(2-)"}[j], System: carbonate, Charge: -j, Fraction: x.Molality / all, Molality: x.Molality, LogGamma: log(x)})
		}
	}
	for _, x := range in.Bound {
		s := Species{Name: x.Name, System: d.model.Systems()[x.Ligand].Name, Complex: x.Complex, Charge: x.Charge, Molality: x.Molality, LogGamma: log(x.Present)}
		if t := d.comp.Totals[x.Ligand]; t > 0 {
			s.Fraction = float64(x.Complex.Ligands) * x.Molality * d.comp.Water / t
		}
		out = append(out, s)
	}
	perLitre := d.comp.Water / d.solution.Volume.Litres()
	for i := range out {
		out[i].Molarity = out[i].Molality * perLitre
	}
	if len(metals) == 0 {
		return out, nil
	}
	sd := d.model.Response(&d.comp, d.eq, &d.medium).Free()
	for i := range metals {
		x := &metals[i]
		x.PerLitre, x.Spread = perLitre, sd[d.model.Index(x.System)]
	}
	return out, metals
}

// Free is a metal ion, of which complexes and hydroxide may hold a part.
type Free struct {
	System      string
	Total, Free float64 // mol/kg; free is the bare ion with its water alone
	PerLitre    float64 // kg of water in a litre of the solution: with it they are mol/L
	// Spread is one standard deviation of ln Free at this pH, from the constants of the
	// complexes and the pK of their ligands.
	Spread float64
}

// carbonate is the name of the system that air exchanges.
const carbonate = "carbonate"

// aqua reports whether a system is a metal ion that gives up protons of its water.
func aqua(s *chem.System) bool { return s.Charge >= 2 && len(s.Steps) > 0 && s.Steps[0].Water }

// formName is the name of the form that has lost j protons.
func formName(s *chem.System, j int) string {
	if j < len(s.Forms) {
		return s.Forms[j].Name
	}
	return fmt.Sprintf("%s %+d", s.Name, s.Charge-j)
}

// doubtful reports whether the share of the form that has lost j protons
// rests on an unverified pK: f are the shares of all forms.
func doubtful(s *chem.System, j int, f []float64) bool {
	left := 0.0
	for k, st := range s.Steps {
		left += f[k]
		// d ln f / d ln K is the share on the other side of the step.
		other := left
		if j <= k {
			other = 1 - left
		}
		if st.Unverified && other > 0.02 {
			return true
		}
	}
	return false
}
