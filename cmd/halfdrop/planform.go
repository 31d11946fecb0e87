package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/sheet"
	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/screen"
	"github.com/spf13/cobra"
)

// planFields are the lines of the form; the keys are the names of the flags.
func planFields() []screen.PlanField {
	return []screen.PlanField{
		{Key: "ph", Label: "pH in use", Hint: "1 to 13, at the temp. of use"},
		{Key: "temp", Label: "temperature of use", Unit: "°C", Value: "25", Hint: "0 to 60"},
		{Key: "bench-temp", Label: "bench temperature", Unit: "°C", Value: "25", Hint: "of the beaker"},
		{Key: "mM", Label: "concentration", Unit: "mM", Value: "50", Hint: "all forms together"},
		{Key: "ml", Label: "volume", Unit: "mL", Value: "500", Hint: "the mark it is made up to"},
		{Key: "tolerance", Label: "tolerance ±", Unit: "pH", Value: "0.05", Hint: "0.05 usual, 0.02 finest"},
		{Key: "avoid", Label: "avoid", Hint: "metals calcium uv diols …", Gap: true},
		{Key: "with", Label: "also contains", Hint: "NaCl 150 mM; MgCl2 5 mM; …"},
		{Key: "strength", Label: "strength", Value: "1x", Hint: "10x: right when diluted tenfold"},
		{Key: "buffer", Label: "buffer", Hint: "empty: the best; F2 lists all"},
		{Key: "way", Label: "method", Value: string(recipe.DefaultWay), Choices: []string{string(recipe.ByTitrant), string(recipe.BySalts)},
			Names: map[string]string{string(recipe.ByTitrant): "titration", string(recipe.BySalts): "mixed salts"}, Hint: "one form, or both by ratio"},
		{Key: "have", Label: "solids available", Hint: "Na2HPO4·7H2O; empty: any"},
		{Key: "stock", Label: "stock solutions", Hint: "NaOH 1 M; HCl 1 M"},
		{Key: "ionic", Label: "ionic strength", Unit: "mM", Hint: "empty: as it comes"},
		{Key: "dropper", Label: "dropper", Unit: "or µL", Hint: "name, size, or empty: 50 µL"},
		{Key: "anyway", Label: "pKa′ beyond ±1", Value: "no", Choices: []string{"no", "yes"}, Hint: "yes: allow a poor fit"},
		{Key: "out", Label: "plan file", Value: "plan.toml", Hint: "written from the next page", Gap: true},
	}
}

// planForm asks for a plan on the terminal.
func planForm(cmd *cobra.Command) error {
	a := &formPlanner{}
	ctx := cmd.Context()
	if ctx == nil {
		ctx = context.Background()
	}
	if err := tui.Plan(ctx, a, planFields(), "buffer", face); err != nil {
		return err
	}
	if a.written == "" && len(a.asFlags()) > 0 {
		fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: no plan file was written; the same form on the command line:\nhalfdrop: hint: halfdrop plan %s\n", strings.Join(phrase.Quote(a.asFlags()), " "))
	}
	if a.written != "" {
		fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: plan written to %s\n", a.written)
		fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: hint: halfdrop titrate --port NAME --plan %s, or --sim for a rehearsal\n", a.written)
	}
	return nil
}

// formPlanner answers the form with what the flags would give.
type formPlanner struct {
	mu      sync.Mutex // the form asks beside the keys
	written string
	values  map[string]string // as they were looked at last
	last    drafted
}

// asFlags are the values of the form that are not the usual ones, as flags.
func (a *formPlanner) asFlags() (out []string) {
	for _, f := range planFields() {
		v := a.values[f.Key]
		switch {
		case v == "" || v == f.Value:
		case f.Key == "anyway":
			out = append(out, "--anyway")
		case f.Key == "have" || f.Key == "stock":
			for _, part := range semicolons(v) {
				out = append(out, "--"+f.Key, part)
			}
		default:
			out = append(out, "--"+f.Key, v)
		}
	}
	return out
}

// numbers are the fields that hold one.
var formNumbers = []string{"ph", "temp", "bench-temp", "mM", "ml", "tolerance", "ionic"}

// flags are the flags that stand for the values of the form.
func (a *formPlanner) flags(v map[string]string) (planFlags, map[string]string) {
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
			faults[k] = "a number is wanted"
		case err != nil || math.IsNaN(n) || math.IsInf(n, 0):
			faults[k] = fmt.Sprintf("%q is not a number", v[k])
		}
		x[k] = n
	}
	f := planFlags{ph: x["ph"], tolerance: x["tolerance"], tempC: x["temp"], benchC: x["bench-temp"], mM: x["mM"], ml: x["ml"],
		ionicMM: x["ionic"], purityPct: 100, fillPct: 80, dropUL: recipe.DefaultDropUL, buffer: v["buffer"], way: v["way"], salt: "NaCl", acid: "HCl", out: v["out"], with: v["with"], strength: v["strength"]}
	f.anyway = v["anyway"] == "yes"
	f.avoid = strings.FieldsFunc(v["avoid"], func(r rune) bool { return r == ' ' || r == ',' || r == ';' })
	f.have, f.stock = semicolons(v["have"]), semicolons(v["stock"])
	f.dropper = v["dropper"]
	drop, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(v["dropper"], "µL")), 64)
	if err == nil {
		f.dropper, f.dropUL = "", drop
	}
	f.changed = func(name string) bool { return name == "drop-ul" && err == nil }
	return f, faults
}

func semicolons(s string) []string {
	var out []string
	for p := range strings.SplitSeq(s, ";") {
		if p = strings.TrimSpace(p); p != "" {
			out = append(out, p)
		}
	}
	return out
}

// demand is what the form asks for, or what is wrong with it by field.
func (a *formPlanner) demand(v map[string]string) (recipe.Demand, planFlags, map[string]string) {
	f, faults := a.flags(v)
	for _, p := range f.avoid {
		if p != "temperature" && !slices.Contains(table.PropertyNames(), table.Property(p)) {
			faults["avoid"] = fmt.Sprintf("%q is not known: metals calcium aldehydes uv diols volatile temperature", p)
		}
	}
	if len(faults) > 0 {
		return recipe.Demand{}, f, faults
	}
	d, err := f.demand()
	if err != nil {
		field := "stock"
		for _, k := range []string{"dropper", "with", "strength"} {
			if strings.Contains(err.Error(), "--"+k) {
				field = k
			}
		}
		faults[field] = strings.NewReplacer("--stock: ", "", "--stock ", "", "--dropper ", "", "--with: ", "", "--with ", "", "--strength ", "").Replace(err.Error())
	}
	return d, f, faults
}

// draft goes the whole way, once for the same values.
func (a *formPlanner) draft(v map[string]string) (*recipe.Draft, []recipe.Candidate, planFlags, map[string]string) {
	if of := fmt.Sprint(v); a.last.of != of {
		x, list, f, faults := a.draftAnew(v)
		a.last = drafted{of, x, list, f, faults}
	}
	l := &a.last
	return l.draft, l.list, l.flags, l.faults
}

func (a *formPlanner) draftAnew(v map[string]string) (*recipe.Draft, []recipe.Candidate, planFlags, map[string]string) {
	d, f, faults := a.demand(v)
	if len(faults) > 0 {
		return nil, nil, f, faults
	}
	list, err := recipe.Rank(d)
	if err != nil {
		return nil, nil, f, fieldFaults(err)
	}
	best, err := recipe.Pick(d, list)
	if err != nil {
		return nil, list, f, fieldFaults(err)
	}
	x, err := recipe.DraftFor(d, best)
	if err != nil {
		return nil, list, f, fieldFaults(err)
	}
	return x, list, f, nil
}

// fieldFaults are the problems of a demand by the field they belong to.
func fieldFaults(err error) map[string]string {
	out := map[string]string{}
	var bad recipe.Problems
	if !errors.As(err, &bad) {
		return map[string]string{"": phrase.Plain(err).Error()}
	}
	for _, b := range bad {
		key := b.Field
		switch {
		case key == "drop-ul":
			key = "dropper"
		case strings.HasPrefix(key, "titrant"), strings.HasPrefix(key, "weighed"):
			key = "ml"
		}
		what := phrase.Plain(errors.New(b.What)).Error()
		if b.Hint != "" {
			what += "; " + b.Hint
		}
		out[key] = what
	}
	return out
}

// Look is what the form shows below its lines.
func (a *formPlanner) Look(v map[string]string) (map[string]string, []string) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.values = v
	if v["ph"] == "" {
		return nil, []string{"Type the pH that is wanted in use. The rest has a usual value."}
	}
	x, _, _, faults := a.draft(v)
	if x == nil {
		if w := faults[""]; w != "" {
			return faults, []string{w}
		}
		return faults, nil
	}
	var parts []string
	for _, r := range sheet.Card(x) {
		switch r[0] {
		case "weigh", "measure", "titrate":
			parts = append(parts, r[1]+" "+r[2])
		case "aim":
			parts = append(parts, "aim "+r[1]+" on the meter")
		}
	}
	return nil, []string{strings.Join(parts, "; "), sheet.Facts(x)}
}

func joinFaults(faults map[string]string) error {
	var out []string
	for k, w := range faults {
		if k != "" {
			w = k + ": " + w
		}
		out = append(out, w)
	}
	slices.Sort(out)
	return errors.New(strings.Join(out, "; "))
}

// Choose lists the buffers for the form.
func (a *formPlanner) Choose(v map[string]string) (string, []screen.PlanChoice, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	w := map[string]string{}
	for k, x := range v {
		w[k] = x
	}
	w["buffer"] = ""
	d, _, faults := a.demand(w)
	if len(faults) > 0 {
		return "", nil, joinFaults(faults)
	}
	list, err := recipe.Rank(d)
	if err != nil {
		return "", nil, joinFaults(fieldFaults(err))
	}
	head, rows := sheet.Candidates(d, list)
	lines := strings.Split(strings.TrimRight(sheet.Text{}.Table(head, rows), "\n"), "\n")
	var out []screen.PlanChoice
	for i, c := range list {
		out = append(out, screen.PlanChoice{Name: c.System.Name, Row: lines[i+1], Why: append([]string{"start from " + rows[i][len(rows[i])-1]}, sheet.Reasons(c)...)})
	}
	return lines[0], out, nil
}

// Sheet is the recipe and the bench sheet for the form.
func (a *formPlanner) Sheet(v map[string]string) (string, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	x, list, f, faults := a.draft(v)
	if x == nil {
		return "", joinFaults(faults)
	}
	var b strings.Builder
	err := sheet.Write(&b, sheet.Text{Width: 78}, x, list, f.out)
	return b.String(), err
}

// Save writes the plan file of the form.
func (a *formPlanner) Save(v map[string]string) (string, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	x, _, f, faults := a.draft(v)
	switch {
	case x == nil:
		return "", joinFaults(faults)
	case f.out == "":
		return "", errors.New("plan file: a name is wanted")
	}
	if err := planfile.Save(f.out, x, a.written == f.out); err != nil {
		return "", err
	}
	a.written = f.out
	return "written to " + f.out, nil
}
