package recipe

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem"
)

// possible checks that the plan can be carried out: that a titrant moves the
// right way and that enough of it fits under the mark.
func (s *Setup) possible(bad *Problems) {
	b, err := s.Bench(s.BenchTemp)
	if err != nil {
		bad.Add("", err.Error(), "")
		return
	}
	if s.Unweighed() {
		return
	}
	f := b.Forecast()
	if math.IsNaN(f.Start) {
		bad.Add("weighed", "no pH balances what was weighed in", "check the amounts")
		return
	}
	if math.Abs(f.Start-f.Aim) <= s.Tolerance {
		return
	}
	least, name := math.Inf(1), ""
	for j, v := range f.Need {
		if v < least {
			least, name = v, s.Stocks[j].Name
		}
	}
	way, kind, example := "up", "base", "NaOH or KOH"
	if f.Aim < f.Start {
		way, kind, example = "down", "acid", "HCl"
	}
	room := s.Final - s.Start
	switch {
	case name == "":
		bad.Add("titrant", fmt.Sprintf("none moves the pH the right way: the beaker starts at about %.2f and must go %s to %.2f", f.Start, way, f.Aim),
			fmt.Sprintf("add a titrant that is a strong %s, such as %s; a base is titrated with acid, an acid with base", kind, example))
	case least > room.Litres():
		bad.Add("titrant", fmt.Sprintf("%.1f mL of %s are needed to reach pH %.2f and only %.1f mL fit under the mark", chem.Volume(least).Millilitres(), name, f.Aim, room.Millilitres()),
			"use a stronger titrant, or start with less water in the beaker")
	}
}
