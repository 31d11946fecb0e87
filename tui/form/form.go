// Package form answers the form in which a buffer is planned: what each of its
// fields is, the buffers to choose from, the recipe and its curve beside them, and
// the plan file in the end. What the fields ask for it is told from outside.
package form

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/sheet"
	"example.org/halfdrop/tui/screen/planform"
)

// Fields are the lines of the form; the keys are the names of the flags.
func Fields() []planform.Field {
	return []planform.Field{
		{Key: "ph", Label: "pH in use", Hint: "1 to 13, at the temp. of use"},
		{Key: "temp", Label: "temperature of use", Unit: "°C", Value: "25", Hint: "0 to 60"},
		{Key: "bench-temp", Label: "bench temperature", Unit: "°C", Value: "25", Hint: "of the beaker"},
		{Key: "mM", Label: "concentration", Unit: "mM", Value: "50", Hint: "all forms"},
		{Key: "ml", Label: "volume", Unit: "mL", Value: "500", Hint: "the mark to make up to"},
		{Key: "tolerance", Label: "tolerance ±", Unit: "pH", Value: "0.05", Hint: "0.05 usual, 0.02 finest"},
		{Key: "avoid", Label: "avoid", Hint: "metals calcium uv diols …", Gap: true},
		{Key: "with", Label: "also contains", Hint: "NaCl 150 mM; MgCl2 5 mM; …"},
		{Key: "strength", Label: "strength", Value: "1x", Hint: "10x: right when diluted tenfold"},
		{Key: "buffer", Label: "buffer", Hint: "empty: the best one; F2 lists all"},
		{Key: "way", Label: "method", Value: string(buffer.DefaultWay), Choices: []string{string(buffer.ByTitrant), string(buffer.BySalts)},
			Names: map[string]string{string(buffer.ByTitrant): "titration", string(buffer.BySalts): "mixed salts"}, Hint: "one form + acid or base, or both forms"},
		{Key: "have", Label: "solids available", Hint: "Na2HPO4·7H2O; empty: any"},
		{Key: "stock", Label: "stock solutions", Hint: "NaOH 1 M; HCl 1 M"},
		{Key: "ionic", Label: "ionic strength", Unit: "mM", Hint: "empty: not adjusted"},
		{Key: "dropper", Label: "dropper", Unit: "or µL", Hint: "name or size; empty: 50 µL"},
		{Key: "anyway", Label: "pKa′ beyond ±1", Value: "no", Choices: []string{"no", "yes"}, Hint: "yes: allow a poor fit"},
		{Key: "out", Label: "plan file", Value: "plan.toml", Hint: "written on the next page", Gap: true},
	}
}

// Planner answers the form with what the flags would give.
type Planner struct {
	// demand is what the values ask for, or what is wrong with them by field.
	Demand func(values map[string]string) (buffer.Demand, map[string]string)

	mu      sync.Mutex // the form asks beside the keys
	Written string
	values  map[string]string // as they were looked at last
	last    drafted
}

// AsFlags are the values of the form that are not the usual ones, as flags, which take
// numbers with a point; what is no number where one belongs is left out.
func (a *Planner) AsFlags() (out []string) {
	_, faults := formFlags(a.values)
	for _, f := range Fields() {
		v := a.values[f.Key]
		n, isDrop := dropSize(v)
		switch {
		case v == "" || v == f.Value:
		case slices.Contains(formNumbers, f.Key):
			if faults[f.Key] == "" {
				out = append(out, "--"+f.Key, point(v))
			}
		case f.Key == "dropper" && isDrop:
			out = append(out, "--drop-ul", strconv.FormatFloat(n, 'g', -1, 64))
		case f.Key == "avoid":
			out = append(out, "--avoid", strings.Join(properties(v), ","))
		case f.Key == "anyway":
			out = append(out, "--anyway")
		case f.Key == "have" || f.Key == "stock":
			for _, part := range parts(v) {
				out = append(out, "--"+f.Key, part)
			}
		default:
			out = append(out, "--"+f.Key, v)
		}
	}
	return out
}

// parts are what semicolons separate, without what is empty.
func parts(s string) []string {
	var out []string
	for p := range strings.SplitSeq(s, ";") {
		if p = strings.TrimSpace(p); p != "" {
			out = append(out, p)
		}
	}
	return out
}

// draft goes the whole way, once for the same values.
func (a *Planner) draft(v map[string]string) (*prepare.Draft, []buffer.Candidate, map[string]string) {
	if of := fmt.Sprint(v); a.last.of != of {
		x, list, faults := a.draftAnew(v)
		a.last = drafted{of, x, list, faults}
	}
	l := &a.last
	return l.draft, l.list, l.faults
}

func (a *Planner) draftAnew(v map[string]string) (*prepare.Draft, []buffer.Candidate, map[string]string) {
	d, faults := a.Demand(v)
	if len(faults) > 0 {
		return nil, nil, faults
	}
	list, err := buffer.Rank(d)
	if err != nil {
		return nil, nil, fieldFaults(err)
	}
	best, err := buffer.Pick(d, list)
	if err != nil {
		return nil, list, fieldFaults(err)
	}
	x, err := prepare.For(d, best)
	if err != nil {
		return nil, list, fieldFaults(err)
	}
	return x, list, nil
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
		if b.Hint != "" && !strings.Contains(what, b.Hint) {
			what += "; " + b.Hint
		}
		out[key] = what
	}
	return out
}

// Look is what the form shows below its lines.
func (a *Planner) Look(v map[string]string) (map[string]string, []string) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.values = v
	if v["ph"] == "" {
		return nil, []string{"Type the pH wanted in use. Everything else has a usual value."}
	}
	x, _, faults := a.draft(v)
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

// labelled is what the line of a key is called on the form.
func labelled(key string) string {
	fields := Fields()
	if i := slices.IndexFunc(fields, func(f planform.Field) bool { return f.Key == key }); i >= 0 {
		return fields[i].Label
	}
	return key
}

func joinFaults(faults map[string]string) error {
	var out []string
	for k, w := range faults {
		if k != "" {
			w = labelled(k) + ": " + w
		}
		out = append(out, w)
	}
	slices.Sort(out)
	return errors.New(strings.Join(out, "; "))
}

// Choose lists the buffers for the form.
func (a *Planner) Choose(v map[string]string) (string, []planform.Choice, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	w := map[string]string{}
	for k, x := range v {
		w[k] = x
	}
	w["buffer"] = ""
	d, faults := a.Demand(w)
	if len(faults) > 0 {
		return "", nil, joinFaults(faults)
	}
	list, err := buffer.Rank(d)
	if err != nil {
		return "", nil, joinFaults(fieldFaults(err))
	}
	head, rows := sheet.Candidates(d, list)
	lines := strings.Split(strings.TrimRight(sheet.Text{}.Table(head, rows), "\n"), "\n")
	var out []planform.Choice
	for i, c := range list {
		out = append(out, planform.Choice{Name: c.System.Name, Row: lines[i+1], Why: append([]string{"add " + rows[i][len(rows[i])-1]}, sheet.Reasons(c)...)})
	}
	return lines[0], out, nil
}

// Sheet is the recipe and the bench sheet for the form.
func (a *Planner) Sheet(v map[string]string) (string, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	x, list, faults := a.draft(v)
	if x == nil {
		return "", joinFaults(faults)
	}
	var b strings.Builder
	err := sheet.Write(&b, sheet.Text{Width: 78}, x, list, v["out"])
	return b.String(), err
}

// Save writes the plan file of the form.
func (a *Planner) Save(v map[string]string) (string, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	x, _, faults := a.draft(v)
	out := v["out"]
	switch {
	case x == nil:
		return "", joinFaults(faults)
	case out == "":
		return "", errors.New("plan file: it needs a name")
	}
	if err := planfile.Save(out, x, a.Written == out); err != nil {
		return "", err
	}
	a.Written = out
	return "written to " + out + "; the bench sheet says what comes next", nil
}
