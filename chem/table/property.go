package table

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"

	"example.org/halfdrop/chem/csvrows"
)

//go:embed data/properties.csv
var propertiesCSV []byte

// Practice is the origin of what the trade takes for granted: common
// practice, no source.
const Practice Origin = "practice"

// Property is something a buffer may do that an experiment cannot have.
type Property string

// The properties of the table.
const (
	Metals    Property = "metals"    // binds metal ions
	Calcium   Property = "calcium"   // precipitates calcium or magnesium
	Aldehydes Property = "aldehydes" // reacts with aldehydes
	UV        Property = "uv"        // absorbs at 240 nm and above
	Diols     Property = "diols"     // binds diols
	Volatile  Property = "volatile"  // evaporates
)

// PropertyNames are the properties in the order of the table.
func PropertyNames() []Property {
	return []Property{Metals, Calcium, Aldehydes, UV, Diols, Volatile}
}

// Grade is how much of a property a buffer has.
type Grade string

// The grades.
const (
	No     Grade = "no"
	Slight Grade = "slight"
	Yes    Grade = "yes"
)

// Trait is one cell of the table of properties.
type Trait struct {
	System   string
	Property Property
	Grade    Grade
	Words    string // "binds Cu"
	Source   string
	By       Origin // Seen, Memory or Practice
}

// Origin in words: the source, and from memory where it was not seen.
func (t Trait) Origin() string {
	if t.By == Memory {
		return t.Source + ", not confirmed by a second publication"
	}
	return t.Source
}

var traits = csvrows.Once(func() (map[string]Trait, error) { return readTraits(propertiesCSV) })

// TraitOf is what is known of a system and a property; false when nothing is.
func TraitOf(system string, p Property) (Trait, bool) {
	x, ok := traits()[key(system)+" "+string(p)]
	return x, ok
}

// readTraits reads the table and refuses cells without a source.
func readTraits(data []byte) (map[string]Trait, error) {
	out := map[string]Trait{}
	err := csvrows.Each(data, 6, "table: properties", func(r []string) error {
		t := Trait{System: r[0], Property: Property(r[1]), Grade: Grade(r[2]), Words: r[3], Source: r[4], By: Origin(r[5])}
		if err := t.check(); err != nil {
			return err
		}
		k := key(t.System) + " " + string(t.Property)
		if _, twice := out[k]; twice {
			return fmt.Errorf("%s %s given twice", t.System, t.Property)
		}
		out[k] = t
		return nil
	})
	return out, err
}

func (t Trait) check() error {
	if _, err := System(t.System); err != nil {
		return err
	}
	switch {
	case !slices.Contains(PropertyNames(), t.Property):
		return fmt.Errorf("no property %q", t.Property)
	case t.Grade != No && t.Grade != Slight && t.Grade != Yes:
		return fmt.Errorf("grade %q: must be no, slight or yes", t.Grade)
	case strings.TrimSpace(t.Words) == "", strings.TrimSpace(t.Source) == "":
		return fmt.Errorf("%s %s: needs words and a source", t.System, t.Property)
	case t.By != Seen && t.By != Memory && t.By != Practice:
		return fmt.Errorf("%s %s: not said whether seen, from memory or practice", t.System, t.Property)
	}
	return nil
}
