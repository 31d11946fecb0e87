package table

import (
	"cmp"
	_ "embed"
	"fmt"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/csvrows"
	"example.org/halfdrop/chem/thermo"
)

//go:embed data/systems.csv
var systemsCSV []byte

// Origin says how a figure came into the table.
type Origin string

// The two origins; an absent figure has none.
const (
	Seen   Origin = "seen"   // read in a retrieved copy of the source
	Memory Origin = "memory" // written down from memory
)

// Kind says what a system is taken for.
type Kind string

// The kinds.
const (
	Buffer Kind = "buffer" // may be proposed as one
	Metal  Kind = "metal"  // a metal ion with its hydroxide complexes
	Other  Kind = "other"  // an acid or base that is in a recipe for something else
	// Neutral is no acid or base at all, and binds one: a diol. It has no step.
	Neutral Kind = "neutral"
)

// Constant is one row of the table of systems: one ionization step and where
// its figures come from.
type Constant struct {
	System        string
	Kind          Kind
	Step          int // counted from the most protonated form known; the table may begin later
	AcidCharge    int // charge number of the form that loses the proton
	PK, DH, DCp   float64
	HasDH, HasDCp bool
	Source        string
	PKBy          Origin
	DHBy, DCpBy   Origin
	Agree, Of     int // how many of how many second publications agree within 0.03
	// Shift is added to PK where the activity model used here leads from the
	// primary standards, at 0.1 mol/kg, to another pK than the source found
	// with its own law of Debye and Hückel. Nothing stronger is fitted.
	Shift float64
	Note  string
}

// Verified reports whether a second publication confirms the pK.
func (c Constant) Verified() bool { return c.Agree > 0 }

// Spread is one standard deviation of the pK at 25 °C. It is our own grading
// of the evidence: 0.0085 when every second publication agrees within 0.03, or when published
// pH of solutions that are no standards settle it, 0.02 when half of them do (tartrate, of
// which a standard is made, misses by less than half of that), 0.1 when fewer or when it is disputed, 0.15 when none does; without a second
// publication 0.02 for a value seen in a critical review, 0.05 from memory. Of the first,
// 0.007 makes the standards, which constants were led to, likelier, on every second row and on
// the others; what tells on its own speaks against it (of Tris/HCl 18 of 21 rows inside two
// spreads, of the technical buffers 38 of 42).
func (c Constant) Spread() float64 {
	switch {
	case strings.HasPrefix(c.Note, "disputed"):
		return 0.1
	case strings.HasPrefix(c.Note, "settled"), c.Of > 0 && c.Agree == c.Of:
		return 0.0085
	case 2*c.Agree >= c.Of && c.Of > 0:
		return 0.02
	case c.Agree > 0:
		return 0.1
	case c.Of > 0:
		return 0.15
	case c.PKBy == Seen:
		return 0.02
	}
	return 0.05
}

// slopeSpread is one standard deviation of ΔH in kJ/mol: our own grading. The
// known heats of ionization lie between −22 and 55, hence 25 for an unknown one.
func (c Constant) slopeSpread() float64 {
	switch {
	case !c.HasDH:
		return 25
	case strings.HasPrefix(c.Note, "heat estimated"):
		return 8
	case strings.HasPrefix(c.Note, "heat capacity unsettled"):
		return 3
	case c.DHBy == Seen:
		return 0.5
	}
	return 1
}

type systemTable struct {
	kinds  map[string]Kind
	rows   []Constant
	byKey  map[string]*chem.System
	sorted []*chem.System
}

var systems = csvrows.Once(func() (*systemTable, error) {
	t, err := readSystems(systemsCSV)
	if err != nil {
		return nil, err
	}
	if err := t.addForms(formsCSV); err != nil {
		return nil, err
	}
	if err := csvrows.Each(complexesCSV, 13, "table: complexes", t.addComplex); err != nil {
		return nil, err
	}
	return t, t.addMissing(missingCSV)
})

// System is the acid–base system of that name, in any case. The same name
// always gives the same pointer; the system must not be changed.
func System(name string) (*chem.System, error) {
	t := systems()
	if s, ok := t.byKey[key(name)]; ok {
		return s, nil
	}
	keys := make([]string, 0, len(t.sorted))
	for _, s := range t.sorted {
		keys = append(keys, s.Name)
	}
	return nil, &UnknownError{What: "system", Name: name, Nearest: nearest(name, keys)}
}

// Systems are all acid–base systems in the order of the table.
func Systems() []*chem.System { return slices.Clone(systems().sorted) }

// KindOf is what a system is taken for; Other where it is not in the table.
func KindOf(system string) Kind {
	if k, ok := systems().kinds[key(system)]; ok {
		return k
	}
	return Other
}

// Constants are the rows behind a system, with their sources, in the order in
// which protons are lost; all rows when the name is empty.
func Constants(system string) []Constant {
	var out []Constant
	for _, r := range systems().rows {
		if system == "" || key(r.System) == key(system) {
			out = append(out, r)
		}
	}
	return out
}

// readSystems reads the table and refuses rows without a source.
func readSystems(data []byte) (*systemTable, error) {
	t := &systemTable{byKey: map[string]*chem.System{}, kinds: map[string]Kind{}}
	err := csvrows.Each(data, 14, "table: systems", func(rec []string) error {
		c, err := parseConstant(rec)
		if err != nil {
			return err
		}
		s := t.byKey[key(c.System)]
		if s == nil {
			s = &chem.System{Name: c.System, Charge: c.AcidCharge}
			t.byKey[key(c.System)] = s
			t.sorted = append(t.sorted, s)
			t.kinds[key(c.System)] = c.Kind
		}
		if c.Kind == Neutral {
			return nil
		}
		if want := s.Charge - len(s.Steps); c.AcidCharge != want {
			return fmt.Errorf("acid charge %d, want %d", c.AcidCharge, want)
		}
		step := chem.Step{PK: c.PK + c.Shift, DH: c.DH, DCp: c.DCp, Spread: c.Spread(), SlopeSpread: c.slopeSpread(), Unverified: !c.Verified()}
		if c.System == "carbonate" {
			step.Law = thermo.CarbonicLaw(c.Step)
		}
		s.Steps = append(s.Steps, step)
		s.Unverified = s.Unverified || step.Unverified
		t.rows = append(t.rows, c)
		return nil
	})
	return t, err
}

func parseConstant(rec []string) (Constant, error) {
	c := Constant{System: rec[0], Kind: Kind(rec[1]), Source: rec[8], PKBy: Origin(rec[9]), DHBy: Origin(rec[10]), DCpBy: Origin(rec[11]), Note: rec[13]}
	var n csvrows.Numbers
	c.Step, c.AcidCharge = n.Whole(rec[2]), n.Whole(rec[3])
	if c.Kind != Neutral {
		c.PK = n.Number(rec[4])
	}
	c.DH, c.HasDH = n.Maybe(rec[5])
	c.DCp, c.HasDCp = n.Maybe(rec[6])
	c.Shift, _ = n.Maybe(rec[7])
	if rec[12] != "none" {
		if _, err := fmt.Sscanf(rec[12], "%d of %d", &c.Agree, &c.Of); err != nil {
			return c, fmt.Errorf("second %q: must be how many other publications agree, as in 1 of 2, or none", rec[12])
		}
	}
	return c, cmp.Or(n.Err, c.checkSource())
}

func (c Constant) checkSource() error {
	known := func(o Origin) bool { return o == Seen || o == Memory }
	switch {
	case c.System == "":
		return fmt.Errorf("no system named")
	case c.Kind != Buffer && c.Kind != Metal && c.Kind != Other && c.Kind != Neutral:
		return fmt.Errorf("%s: kind %q: must be buffer, metal, other or neutral", c.System, c.Kind)
	case strings.TrimSpace(c.Source) == "":
		return fmt.Errorf("%s step %d: no source", c.System, c.Step)
	case !known(c.PKBy), c.HasDH != known(c.DHBy), c.HasDCp != known(c.DCpBy):
		return fmt.Errorf("%s step %d: not said whether seen or from memory", c.System, c.Step)
	}
	return nil
}
