package sheet

import (
	"fmt"
	"io"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/textfile"
)

// InUse is what --json prints of a solution; the names are a format others rely on.
type InUse struct {
	PH       float64 `json:"ph"`
	Strength float64 `json:"ionic_strength"`  // mol/kg
	Capacity float64 `json:"buffer_capacity"` // mol/L per pH
	DPHDT    float64 `json:"dph_dt"`          // per °C
	Spread   float64 `json:"spread"`          // one standard deviation
}

func inUse(r *solved.Result, spread float64) InUse {
	return InUse{r.PH, r.Strength, r.Capacity, r.DPHDT, spread}
}

// MixtureJSON is what --json --species adds; the names are a format others
// rely on.
type MixtureJSON struct {
	InUse
	Species    []speciesJSON      `json:"species"`
	Free       map[string]float64 `json:"free"`        // bare metal ions, mol/kg
	FreeSpread map[string]float64 `json:"free_spread"` // one standard deviation of ln of that, at this pH
	Total      map[string]float64 `json:"total"`       // of the same, with all that holds them
	Saturation map[string]float64 `json:"saturation"`  // log10 of activities over the constant, by salt of which all parts are there
	ComesOut   []comesOutJSON     `json:"comes_out"`   // those above zero
	Doubts     []doubtJSON        `json:"doubts"`
}

type speciesJSON struct {
	Name     string  `json:"name"`
	Charge   int     `json:"charge"`
	Molality float64 `json:"molality"`
	LogGamma float64 `json:"log10_gamma"`
}

type comesOutJSON struct {
	Salt     string  `json:"salt"`
	Molality float64 `json:"molality"` // of it, if it alone comes out
	PH       float64 `json:"ph_after"`
	Slow     bool    `json:"slow,omitempty"` // it takes days
}

type doubtJSON struct {
	Code  string  `json:"code"`
	About string  `json:"about,omitempty"`
	SD    float64 `json:"sd,omitempty"` // of the pH, one standard deviation
	Words string  `json:"words,omitempty"`
}

// WriteMixtureJSON writes a line of JSON: pH, ionic strength, capacity and slope of a
// mixture, and with species what it consists of.
func WriteMixtureJSON(w io.Writer, r *solved.Result, species bool) error {
	a := inUse(r, r.Spread)
	if !species {
		return textfile.JSONLine(w, a)
	}
	j := MixtureJSON{InUse: a, Species: []speciesJSON{}, Free: map[string]float64{}, FreeSpread: map[string]float64{}, Total: map[string]float64{}, Saturation: map[string]float64{}, ComesOut: []comesOutJSON{}, Doubts: []doubtJSON{}}
	for _, s := range r.Species {
		j.Species = append(j.Species, speciesJSON{s.Name, s.Charge, s.Molality, s.LogGamma})
	}
	for _, f := range r.Free {
		j.Free[f.System], j.FreeSpread[f.System], j.Total[f.System] = f.Free, f.Spread, f.Total
	}
	list, err := r.Saturation(table.Solids())
	if err != nil {
		return err
	}
	for _, x := range list {
		j.Saturation[x.Solid.Formula] = x.Index
		if x.Amount > 0 {
			j.ComesOut = append(j.ComesOut, comesOutJSON{x.Solid.Formula, x.Amount, x.PH, x.Solid.Slow})
		}
	}
	for _, p := range r.Doubts.Parts {
		j.Doubts = append(j.Doubts, doubtJSON{Code: string(p.Cause), SD: p.PH})
	}
	for _, f := range r.Flags {
		about := f.System
		if f.With != "" {
			about += " and " + f.With
		}
		j.Doubts = append(j.Doubts, doubtJSON{Code: f.Doubt.Code(), About: about, SD: f.Size, Words: f.String()})
	}
	return textfile.JSONLine(w, j)
}

// From these spreads on a pH has one decimal, and two: the next is then at most a fifteenth
// of the spread, or at most a fiftieth. Our own choice.
const (
	oneDecimal  = 0.15
	twoDecimals = 0.05
)

// spreadPH is a pH with its spread, in as many decimals as that leaves of those there are at most.
func spreadPH(ph, spread float64, most int) string {
	digits := 1
	switch {
	case spread >= oneDecimal:
		most = 1
	case spread >= twoDecimals:
		most = min(most, 2)
	case most > 2:
		digits = 2
	}
	return fmt.Sprintf("%.*f ± %s", most, ph, chem.Digits(spread, digits))
}

// WriteMixture writes the same for people.
func WriteMixture(w io.Writer, r *solved.Result, species bool) error {
	t := phrase.Columns(w)
	fmt.Fprintf(t, "pH\t%s\n", spreadPH(r.PH, r.Spread, 3))
	fmt.Fprintf(t, "ionic strength\t%s mmol/kg\n", chem.Digits(1e3*r.Strength, 3))
	fmt.Fprintf(t, "buffer capacity\t%s mM per pH\n", chem.Digits(1e3*r.Capacity, 3))
	fmt.Fprintf(t, "dpH/dT\t%s\n", perDegree(r, 4))
	fmt.Fprintf(t, "dilution value ΔpH½\t%s\n", chem.Signed(r.Dilution, 3))
	for _, f := range r.Free {
		if f.Total > 0 {
			fmt.Fprintf(t, "free %s\t%s\n", f.System, freeText(f))
		}
	}
	if err := t.Flush(); err != nil || !species {
		return err
	}
	fmt.Fprintln(w)
	return writeSpecies(w, r.Species)
}

// leastShown is the share of a form or a complex that is still listed.
const leastShown = 5e-5

func writeSpecies(w io.Writer, list []solved.Species) error {
	t := phrase.Figures(w)
	fmt.Fprint(t, "species\tcharge\tshare\tmmol/kg\tmmol/L\tlog γ\t\n")
	for _, s := range list {
		if s.System != "water" && s.Fraction < leastShown {
			continue
		}
		share, mark, charge := "", "", "0"
		if s.Charge != 0 {
			charge = fmt.Sprintf("%+d", s.Charge)
		}
		if s.Fraction > 0 {
			share = fmt.Sprintf("%.2f %%", 100*s.Fraction)
		}
		if s.Unverified {
			mark = " unverified"
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%.4g\t%.4g\t%s\t%s\n", s.Name, charge, share, 1e3*s.Molality, 1e3*s.Molarity, chem.Signed(s.LogGamma, 3), mark)
	}
	return t.Flush()
}
