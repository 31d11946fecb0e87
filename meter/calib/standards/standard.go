package standards

import (
	"bytes"
	"cmp"
	_ "embed"
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/phrase"
)

//go:embed data/standards.csv
var standardsCSV []byte

// Set is a family of standards that belong together: bottles of one label
// convention. A nominal value means another liquid in another set.
type Set string

// The sets of the table.
const (
	Technical    Set = "technical"      // nominal at 25 °C: 4.01, 7.00, 10.01, also 9.21
	Technical701 Set = "technical-7.01" // nominal at 25 °C, the set with 7.01
	Technical20  Set = "technical-20"   // nominal at 20 °C: 4.00, 7.00, 9.00
	Primary      Set = "primary"        // the primary standards
)

// sets are all sets, in the order in which a bare name is looked for.
func sets() []Set { return []Set{Technical, Primary, Technical20, Technical701} }

// Describe is the set in words.
func (s Set) Describe() string {
	switch s {
	case Technical:
		return "technical buffers, nominal at 25 °C"
	case Technical701:
		return "technical buffers with 7.01, nominal at 25 °C"
	case Technical20:
		return "technical buffers, nominal at 20 °C"
	case Primary:
		return "primary standards"
	}
	return string(s)
}

// Value is one row of the table: the pH of a standard at a temperature.
type Value struct {
	Temp   chem.Celsius
	PH     float64
	Source string
	By     string // "seen" in a copy of the source, or from "memory"
}

// Standard is a liquid whose pH is known as a function of temperature.
type Standard struct {
	Set         Set
	Name        string       // the nominal value as on the bottle: "4.01"
	Nominal     float64      // the same as a number
	NominalAt   chem.Celsius // where the nominal value holds
	Composition string
	Values      []Value // by rising temperature
}

// Errors of standards.
var (
	ErrAmbiguous  = errors.New("could be more than one liquid")
	ErrNoStandard = errors.New("no such standard")
	ErrOutside    = errors.New("outside the temperature range of the table")
)

// String is the label: "7.00 (at 20 °C)" where it is not the usual 25 °C.
func (s Standard) String() string {
	if s.NominalAt != 25 {
		return fmt.Sprintf("%s (at %g °C)", s.Name, float64(s.NominalAt))
	}
	return s.Name
}

// Labelled is the standard of a set with exactly this nominal value, as a record has
// it. The error is ErrNoStandard.
func Labelled(set Set, name string) (Standard, error) {
	for _, s := range Of(set) {
		if s.Name == name {
			return s, nil
		}
	}
	return Standard{}, fmt.Errorf("calib: %w: %s %s", ErrNoStandard, set, name)
}

// Same reports whether it is the same liquid by its label.
func (s Standard) Same(o Standard) bool { return s.Set == o.Set && s.Name == o.Name }

// Range is the range of temperatures of the table.
func (s Standard) Range() (low, high chem.Celsius) {
	return s.Values[0].Temp, s.Values[len(s.Values)-1].Temp
}

// PH is the pH at a temperature, in straight lines between the rows of the
// table, which puts it within 0.01 of what lies between them. Outside the rows
// nothing is known: the error is ErrOutside.
func (s Standard) PH(t chem.Celsius) (float64, error) {
	low, high := s.Range()
	if !(t >= low && t <= high) {
		return 0, fmt.Errorf("calib: standard %s of the %s: %.3g °C is %w, %g to %g °C", s.Name, s.Set.Describe(), float64(t), ErrOutside, float64(low), float64(high))
	}
	i, exact := slices.BinarySearchFunc(s.Values, t, func(v Value, t chem.Celsius) int {
		return cmp.Compare(v.Temp, t)
	})
	if exact {
		return s.Values[i].PH, nil
	}
	a, b := s.Values[i-1], s.Values[i]
	return a.PH + (b.PH-a.PH)*float64((t-a.Temp)/(b.Temp-a.Temp)), nil
}

// Source is where the value at a temperature comes from, with a mark for one
// from memory.
func (s Standard) Source(t chem.Celsius) string {
	nearest := s.Values[0]
	for _, v := range s.Values {
		if math.Abs(float64(v.Temp-t)) < math.Abs(float64(nearest.Temp-t)) {
			nearest = v
		}
	}
	if nearest.By == "memory" {
		return nearest.Source + " (not confirmed by a second publication: the bottle's own table takes precedence)"
	}
	return nearest.Source
}

var standards = sync.OnceValues(func() ([]Standard, error) { return readStandards(standardsCSV) })

// Of are the standards of a set, by rising pH; all when the set is empty.
func Of(set Set) []Standard {
	all, err := standards()
	if err != nil {
		return nil
	}
	return phrase.Only(all, func(s Standard) bool { return set == "" || s.Set == set })
}

// Find is the standard of a nominal value as a person writes it: "4.01", "7",
// or "7.00@20" for the one whose nominal value holds at 20 °C. It is looked for
// in the preferred set first, then in the others.
func Find(name string, prefer Set) (Standard, error) {
	all, err := standards()
	if err != nil {
		return Standard{}, err
	}
	text, at, dated := strings.Cut(strings.TrimSpace(name), "@")
	nominal, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return Standard{}, fmt.Errorf("calib: %w: %q is not a nominal pH such as 7.00", ErrNoStandard, name)
	}
	order := append([]Set{prefer}, sets()...)
	if dated {
		if order, err = setsAt(at); err != nil {
			return Standard{}, err
		}
	}
	for _, set := range order {
		for _, s := range all {
			if s.Set != set || math.Abs(s.Nominal-nominal) >= 5e-3 {
				continue
			}
			if likes := printed(all, prefer, nominal); !dated && set != prefer && s.NominalAt != 25 && len(likes) > 0 {
				return Standard{}, ambiguous(name, append(likes, s))
			}
			return s, nil
		}
	}
	if likes := printed(all, prefer, nominal); len(likes) > 0 {
		return Standard{}, ambiguous(name, likes)
	}
	return Standard{}, fmt.Errorf("calib: %w: %q; there are %s", ErrNoStandard, name, known(all))
}

// nearPrinted is how far from its nominal value a bottle may print it, rounded: 10.00
// for 10.01, 4.00 for 4.01 (a meter manual prints both for one liquid, seen).
const nearPrinted = 0.015

// printed are the standards of the preferred set for which a bottle may print a value.
func printed(all []Standard, prefer Set, nominal float64) []Standard {
	return phrase.Only(all, func(s Standard) bool { return s.Set == prefer && math.Abs(s.Nominal-nominal) < nearPrinted })
}

// nearly is ErrAmbiguous where one liquid only is near.
type nearly struct{}

func (nearly) Error() string        { return "is not a nominal value; the nearest is" }
func (nearly) Is(target error) bool { return target == ErrAmbiguous }

// ambiguous is the question between liquids.
func ambiguous(name string, list []Standard) error {
	var parts []string
	what, colon := ErrAmbiguous, ":"
	if len(list) == 1 {
		what, colon = nearly{}, ""
	}
	for _, s := range list {
		at := ""
		if s.NominalAt != 25 {
			at = fmt.Sprintf("@%g", float64(s.NominalAt))
		}
		parts = append(parts, fmt.Sprintf("%s%s (%s, nominal at %g °C)", s.Name, at, s.Composition, float64(s.NominalAt)))
	}
	return fmt.Errorf("calib: %q %w%s %s; see at which temperature the bottle gives it, and write it so", name, what, colon, strings.Join(parts, ", or "))
}

// setsAt are the sets whose nominal values hold at a temperature.
func setsAt(at string) ([]Set, error) {
	switch strings.TrimRight(strings.TrimSpace(at), " °Cc") {
	case "20":
		return []Set{Technical20}, nil
	case "25":
		return []Set{Technical, Primary, Technical701}, nil
	}
	return nil, fmt.Errorf("calib: %w: nominal values hold at 20 or at 25 °C, not %q", ErrNoStandard, at)
}

// known lists the standards by set.
func known(all []Standard) string {
	var parts []string
	for _, set := range sets() {
		var names []string
		for _, s := range all {
			if s.Set == set {
				names = append(names, s.Name)
			}
		}
		parts = append(parts, string(set)+" "+strings.Join(names, ", "))
	}
	return strings.Join(parts, "; ")
}

// readStandards reads the table and refuses rows without a source.
func readStandards(data []byte) ([]Standard, error) {
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord = 9
	rows, err := r.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("calib: standards: %w", err)
	}
	var out []Standard
	for i, rec := range rows[min(1, len(rows)):] {
		s, v, err := parseRow(rec)
		if err != nil {
			return nil, fmt.Errorf("calib: standards, line %d: %w", i+2, err)
		}
		if n := len(out); n == 0 || out[n-1].Set != s.Set || out[n-1].Name != s.Name {
			if slices.ContainsFunc(out, func(o Standard) bool { return o.Set == s.Set && o.Name == s.Name }) {
				return nil, fmt.Errorf("calib: standards, line %d: rows of %s %s do not stand together", i+2, s.Set, s.Name)
			}
			out = append(out, s)
		}
		last := &out[len(out)-1]
		if n := len(last.Values); n > 0 && last.Values[n-1].Temp >= v.Temp {
			return nil, fmt.Errorf("calib: standards, line %d: temperatures do not rise", i+2)
		}
		last.Values = append(last.Values, v)
	}
	if len(out) == 0 {
		return nil, errors.New("calib: standards: no rows")
	}
	slices.SortStableFunc(out, func(a, b Standard) int { return cmp.Compare(a.Nominal, b.Nominal) })
	return out, nil
}

func parseRow(rec []string) (Standard, Value, error) {
	s := Standard{Set: Set(rec[0]), Name: rec[1], Composition: rec[3]}
	v := Value{Source: rec[6], By: rec[7]}
	var numbers [4]float64
	for i, field := range []int{1, 2, 4, 5} {
		x, err := strconv.ParseFloat(rec[field], 64)
		if err != nil {
			return s, v, err
		}
		numbers[i] = x
	}
	s.Nominal, s.NominalAt = numbers[0], chem.Celsius(numbers[1])
	v.Temp, v.PH = chem.Celsius(numbers[2]), numbers[3]
	switch {
	case !slices.Contains(sets(), s.Set):
		return s, v, fmt.Errorf("no such set %q", rec[0])
	case v.Source == "" || v.By != "seen" && v.By != "memory":
		return s, v, errors.New("no source, or not said whether seen or from memory")
	}
	return s, v, nil
}
