package table

import (
	"cmp"
	_ "embed"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/csvrows"
	"example.org/halfdrop/chem/solved"
)

//go:embed data/solids.csv
var solidsCSV []byte

var solids = csvrows.Once(func() ([]*solved.Solid, error) { return readSolids(solidsCSV) })

// Solids are the salts that may come out of a solution, in the order of the
// table. They must not be changed.
func Solids() []*solved.Solid { return slices.Clone(solids()) }

// readSolids reads the table and refuses rows without a source, without a
// word on what avoids them, or that carry a charge.
func readSolids(data []byte) ([]*solved.Solid, error) {
	var out []*solved.Solid
	err := csvrows.Each(data, 13, "table: solids", func(r []string) error {
		s, err := parseSolid(r)
		if err != nil {
			return err
		}
		out = append(out, s)
		return nil
	})
	return out, err
}

func parseSolid(r []string) (*solved.Solid, error) {
	s := &solved.Solid{Name: r[0], Formula: r[1], Slow: r[7] == "yes", Avoid: r[8], Source: r[9]}
	for _, x := range []string{r[0], r[1], r[8], r[9]} {
		if strings.TrimSpace(x) == "" {
			return nil, fmt.Errorf("needs a name, a formula, what avoids it and a source")
		}
	}
	if by := Origin(r[10]); by != Seen && by != Memory {
		return nil, fmt.Errorf("%s: not said whether seen or from memory", s.Name)
	}
	var n csvrows.Numbers
	s.Protons, s.Water, s.LogK = n.Whole(r[3]), n.Whole(r[4]), n.Number(r[5])
	s.DH, _ = n.Maybe(r[6])
	s.Stands, _ = n.Maybe(r[12])
	if n.Err != nil {
		return nil, n.Err
	}
	charge := s.Protons
	for item := range strings.SplitSeq(r[2], " & ") {
		p, z, err := parseSolidPart(item)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", s.Name, err)
		}
		charge += p.Count * z
		s.Parts = append(s.Parts, p)
	}
	if charge != 0 {
		return nil, fmt.Errorf("%s carries a charge of %d", s.Name, charge)
	}
	return s, nil
}

// parseSolidPart reads "phosphate:-3 2" and "K+ 1".
func parseSolidPart(item string) (p solved.SolidPart, z int, err error) {
	i := strings.LastIndexByte(item, ' ')
	if i < 0 {
		return p, 0, fmt.Errorf("part %q", item)
	}
	if p.Count, err = strconv.Atoi(item[i+1:]); err != nil || p.Count < 1 {
		return p, 0, fmt.Errorf("part %q: the count must be above zero", item)
	}
	name, form, of := strings.Cut(item[:i], ":")
	if !of {
		ion, ok := parseIon(name)
		if !ok {
			return p, 0, fmt.Errorf("part %q: neither an ion nor the form of a system", item)
		}
		p.Ion = ion.Name
		return p, ion.Charge, nil
	}
	sys, err := System(name)
	if err != nil {
		return p, 0, err
	}
	p.System = sys.Name
	if p.Charge, err = strconv.Atoi(form); err != nil || p.Charge > sys.Charge || p.Charge < sys.Charge-len(sys.Steps) {
		return p, 0, fmt.Errorf("part %q: %s has no such form", item, name)
	}
	return p, p.Charge, nil
}

// oversaturated is log10 of how far above saturation a salt is taken to come
// out: constants of one salt differ by as much, and a little less stays
// dissolved for hours (a choice of this project).
const oversaturated = 0.3

// certain is log10 of how far above saturation a salt is taken to come out for
// sure: below it phosphate-buffered saline with 0.9 mM of calcium stands clear for
// months (common practice, no source), at 0.3. A choice of this project.
const certain = 0.5

// ComesOut are the salts that come out of a solved solution, most first, and
// those that should but are known to take days.
func ComesOut(r *solved.Result) (now, later []solved.Saturation, err error) {
	list, err := r.Saturation(solids())
	if err != nil {
		return nil, nil, err
	}
	for _, x := range list {
		x.Held = holder(x.Solid, r.Flags)
		switch {
		case x.Index < oversaturated:
		case x.Solid.Slow:
			later = append(later, x)
		default:
			now = append(now, x)
		}
	}
	slices.SortStableFunc(now, func(a, b solved.Saturation) int { return cmp.Compare(b.Amount, a.Amount) })
	return now, later, nil
}

// holder is what is known to bind a part of a salt and has no constant.
func holder(s *solved.Solid, flags []solved.Flag) string {
	for _, f := range flags {
		if f.Doubt != solved.MissingChemistry || f.With == "" {
			continue
		}
		for _, p := range s.Parts {
			if p.System == f.With {
				return f.System
			}
		}
	}
	return ""
}

// leastLeft is what is left of a substance, mol/kg, below which the figure says nothing to
// anybody.
const leastLeft = 1e-6

// Words say what comes out of how much, and what avoids it.
func Words(x solved.Saturation) string {
	does := "precipitates"
	switch {
	case x.Held != "":
		does = "precipitates unless " + x.Held + " holds what it is made of"
	case !Certain(x):
		does = "may precipitate"
	}
	left := chem.Digits(1e3*x.Left, 2)
	if x.Left < leastLeft {
		left = "less than " + chem.Digits(1e3*leastLeft, 1)
	}
	return fmt.Sprintf("%s, %s, %s: about %s mmol/kg of it, which leaves %s mmol/kg of %s and pH %.2f (%.1f powers of ten above saturation); what avoids it: %s",
		x.Solid.Name, x.Solid.Formula, does, chem.Digits(1e3*x.Amount, 2), left, x.Holds, x.PH, x.Index, x.Solid.Avoid)
}

// PrecipitateError says that a salt comes out of a mixture.
type PrecipitateError struct{ solved.Saturation }

// Error says which, how much, and what avoids it.
func (e *PrecipitateError) Error() string { return "table: " + Words(e.Saturation) }

// Certain reports whether a salt that comes out does so for sure: what is little
// above saturation may stand clear for long, and what something may hold too.
func Certain(x solved.Saturation) bool {
	return x.Held == "" && (x.Index >= max(certain, x.Solid.Stands) || x.Solid.Slow)
}

// CheckClear refuses a solved mixture out of which a salt comes for sure.
func CheckClear(r *solved.Result) error {
	now, _, err := ComesOut(r)
	if err != nil {
		return err
	}
	for _, x := range now {
		if Certain(x) {
			return &PrecipitateError{x}
		}
	}
	return nil
}
