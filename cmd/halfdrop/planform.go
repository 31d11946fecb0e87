package main

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/form"
	"github.com/spf13/cobra"
)

// planForm asks for a plan on the terminal.
func planForm(cmd *cobra.Command) error {
	a := &form.Planner{Demand: formDemand}
	ctx := cmd.Context()
	if ctx == nil {
		ctx = context.Background()
	}
	if err := tui.Plan(ctx, a, form.Fields(), "buffer", face); err != nil {
		return err
	}
	if flags := a.AsFlags(); a.Written == "" && len(flags) > 0 {
		fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: no plan file was written; the same form on the command line:\nhalfdrop: hint: halfdrop plan %s\n", strings.Join(phrase.Quote(flags), " "))
	}
	if a.Written != "" {
		fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: plan written to %s\n", a.Written)
		fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: hint: halfdrop titrate --port NAME --plan %s, or --sim for a rehearsal\n", a.Written)
	}
	return nil
}

// formNumbers are the fields that hold one.
var formNumbers = []string{"ph", "temp", "bench-temp", "mM", "ml", "tolerance", "ionic"}

// formFlags are the flags that stand for the values of the form.
func formFlags(v map[string]string) (planFlags, map[string]string) {
	faults := map[string]string{}
	x := map[string]float64{"tolerance": recipe.DefaultTolerance}
	for _, k := range formNumbers {
		text := strings.Replace(v[k], ",", ".", 1)
		if text == "" && k == "ionic" {
			continue
		}
		n, err := strconv.ParseFloat(text, 64)
		switch {
		case text == "":
			faults[k] = "it must be a number"
		case err != nil || math.IsNaN(n) || math.IsInf(n, 0):
			faults[k] = fmt.Sprintf("%q is not a number", v[k])
		}
		x[k] = n
	}
	f := planFlags{ph: x["ph"], tolerance: x["tolerance"], tempC: x["temp"], benchC: x["bench-temp"], mM: x["mM"], ml: x["ml"],
		ionicMM: x["ionic"], purityPct: 100, fillPct: 80, dropUL: recipe.DefaultDropUL, buffer: v["buffer"], way: v["way"], salt: "NaCl", acid: "HCl", out: v["out"], with: v["with"], strength: v["strength"]}
	f.anyway = v["anyway"] == "yes"
	f.avoid = strings.FieldsFunc(v["avoid"], func(r rune) bool { return r == ' ' || r == ',' || r == ';' })
	f.have, f.stock = form.Parts(v["have"]), form.Parts(v["stock"])
	f.dropper = v["dropper"]
	drop, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(v["dropper"], "µL")), 64)
	if err == nil {
		f.dropper, f.dropUL = "", drop
	}
	f.changed = func(name string) bool { return name == "drop-ul" && err == nil }
	return f, faults
}

// formDemand is what the form asks for, or what is wrong with it by field.
func formDemand(v map[string]string) (recipe.Demand, map[string]string) {
	f, faults := formFlags(v)
	for _, p := range f.avoid {
		if p != "temperature" && !slices.Contains(table.PropertyNames(), table.Property(p)) {
			faults["avoid"] = fmt.Sprintf("%q is not known: metals calcium aldehydes uv diols volatile temperature", p)
		}
	}
	if len(faults) > 0 {
		return recipe.Demand{}, faults
	}
	d, err := f.demand()
	if err == nil {
		_, err = knowBottles(&d, time.Now())
	}
	if err != nil {
		field := "stock"
		for _, k := range []string{"dropper", "with", "strength"} {
			if strings.Contains(err.Error(), "--"+k) {
				field = k
			}
		}
		faults[field] = strings.NewReplacer("--stock: ", "", "--stock ", "", "--dropper ", "", "--with: ", "", "--with ", "", "--strength ", "").Replace(err.Error())
	}
	return d, faults
}
