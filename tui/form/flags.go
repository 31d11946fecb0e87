package form

import (
	"context"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/terminal"
)

// Ask asks for a plan on the terminal.
func Ask(ctx context.Context, talk io.Writer, look terminal.Options) error {
	a := &Planner{Demand: Demand}
	if err := tui.Plan(ctx, a, Fields(), "buffer", look); err != nil {
		return err
	}
	if flags := a.AsFlags(); a.Written == "" && len(flags) > 0 {
		fmt.Fprintf(talk, "halfdrop: no plan file was written; the same on the command line:\nhalfdrop: hint: halfdrop plan %s\n", strings.Join(phrase.Quote(flags), " "))
	}
	if a.Written != "" {
		fmt.Fprintf(talk, "halfdrop: plan written to %s\n", a.Written)
		fmt.Fprintf(talk, "halfdrop: hint: halfdrop titrate --port NAME --plan %s, or --sim for a rehearsal\n", a.Written)
	}
	return nil
}

// formNumbers are the fields that hold one.
var formNumbers = []string{"ph", "temp", "bench-temp", "mM", "ml", "tolerance", "ionic"}

// point is a number with a decimal point for a comma.
func point(number string) string { return strings.Replace(number, ",", ".", 1) }

// properties are those to avoid, however they are separated.
func properties(list string) []string {
	return strings.FieldsFunc(list, func(r rune) bool { return r == ' ' || r == ',' || r == ';' })
}

// dropSize is the size of a drop, µL, where a dropper is given by that and not by its name.
func dropSize(dropper string) (ul float64, ok bool) {
	ul, err := strconv.ParseFloat(point(strings.TrimSpace(strings.TrimSuffix(dropper, "µL"))), 64)
	return ul, err == nil
}

// formFlags are the flags that stand for the values of the form.
func formFlags(v map[string]string) (Wanted, map[string]string) {
	faults := map[string]string{}
	x := map[string]float64{"tolerance": recipe.DefaultTolerance}
	for _, k := range formNumbers {
		text := point(v[k])
		if text == "" && k == "ionic" {
			continue
		}
		n, err := strconv.ParseFloat(text, 64)
		switch {
		case text == "":
			faults[k] = "a number is missing"
		case err != nil || math.IsNaN(n) || math.IsInf(n, 0):
			faults[k] = fmt.Sprintf("%q is not a number", v[k])
		}
		x[k] = n
	}
	f := Wanted{PH: x["ph"], Tolerance: x["tolerance"], TempC: x["temp"], BenchC: x["bench-temp"], MM: x["mM"], ML: x["ml"],
		IonicMM: x["ionic"], PurityPct: 100, FillPct: 80, DropUL: recipe.DefaultDropUL, Buffer: v["buffer"], Way: v["way"], Salt: "NaCl", Acid: "HCl", Out: v["out"], With: v["with"], Strength: v["strength"]}
	f.Anyway = v["anyway"] == "yes"
	f.Avoid = properties(v["avoid"])
	f.Have, f.Stock = parts(v["have"]), parts(v["stock"])
	f.Dropper = v["dropper"]
	drop, isDrop := dropSize(v["dropper"])
	if isDrop {
		f.Dropper, f.DropUL = "", drop
	}
	f.Changed = func(name string) bool { return name == "drop-ul" && isDrop }
	return f, faults
}

// Demand is what the form asks for, or what is wrong with it by field.
func Demand(v map[string]string) (buffer.Demand, map[string]string) {
	f, faults := formFlags(v)
	for _, p := range f.Avoid {
		if p != "temperature" && !slices.Contains(table.PropertyNames(), table.Property(p)) {
			faults["avoid"] = fmt.Sprintf("%q is not known: metals calcium aldehydes uv diols volatile temperature", p)
		}
	}
	if len(faults) > 0 {
		return buffer.Demand{}, faults
	}
	d, err := f.demand()
	if err != nil {
		return d, fieldFaults(err)
	}
	if _, err = knowBottles(&d, time.Now()); err != nil {
		faults["stock"] = phrase.Plain(err).Error()
	}
	return d, faults
}
