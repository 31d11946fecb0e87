package form

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"example.org/halfdrop/chem/recipe/written"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/sheet"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/textfile"
)

// Wanted is what a command line wants of a plan, in the units of its flags.
type Wanted struct {
	PH, Tolerance, TempC, BenchC, MM, ML float64
	IonicMM, PurityPct, FillPct, DropUL  float64
	Avoid, Have, Stock                   []string
	Buffer, Way, Salt, Acid, Base        string
	Dropper, Out, Check                  string
	With, Strength                       string
	Anyway, Force, JSON, Markdown, List  bool
	Changed                              func(name string) bool // the flag was given
}

// Terminal is where results and talk go.
type Terminal struct {
	Out, Talk io.Writer
	Paged     func(write func(io.Writer) error) error // results that may be long
}

// Plan is halfdrop plan: from a target to a plan, or from a recipe to its pH.
func (f Wanted) Plan(at Terminal) error {
	switch {
	case f.JSON && f.Markdown:
		return remedy.Call(errors.New("--json and --markdown exclude each other"), "leave one out")
	case f.Changed("check") && strings.TrimSpace(f.Check) == "":
		return remedy.Call(errors.New("--check: it holds no recipe"), `as in --check "50 mM Tris-HCl pH 8.0, 150 mM NaCl"`)
	case f.Check != "":
		return f.examine(at)
	case !f.Changed("ph"):
		return remedy.Call(errors.New("no target"), "give the pH wanted in use with --ph, as in --ph 7.4; on a terminal halfdrop plan alone asks")
	}
	d, err := f.Demand()
	if err != nil {
		return err
	}
	known, err := knowBottles(&d, time.Now())
	if err != nil {
		return err
	}
	for _, w := range known {
		fmt.Fprintln(at.Talk, "halfdrop: known: "+w)
	}
	list, err := buffer.Rank(d)
	if err != nil {
		return refused(err)
	}
	if f.List {
		return at.Paged(func(w io.Writer) error { return sheet.WriteCandidates(w, d, list, f.JSON) })
	}
	best, err := buffer.Pick(d, list)
	if err != nil {
		return refused(err)
	}
	x, err := prepare.For(d, best)
	if err != nil {
		return refused(err)
	}
	return f.deliver(at, x, list)
}

// deliver writes the plan if that was asked, and prints the rest.
func (f Wanted) deliver(at Terminal, x *prepare.Draft, list []buffer.Candidate) error {
	name := f.Out
	if name == "" {
		name = "PLAN.toml"
	} else if name == textfile.StandardInput {
		return planfile.Write(at.Out, x.Plan, planfile.Reasons(x)) // the plan and nothing else
	} else if err := planfile.Save(name, x, f.Force); err != nil {
		return err
	}
	out := at.Out
	var err error
	switch {
	case f.JSON:
		err = sheet.WriteJSON(out, x, list, name)
	case f.Markdown:
		err = sheet.Write(out, sheet.Markdown{}, x, list, name)
	default:
		err = at.Paged(func(w io.Writer) error { return sheet.Write(w, sheet.Plain, x, list, name) })
	}
	if err != nil {
		return err
	}
	if f.Out == "" {
		fmt.Fprintln(at.Talk, "halfdrop: note: no plan file was written; --out FILE writes one for titrate")
	} else {
		fmt.Fprintf(at.Talk, "halfdrop: plan written to %s\n", name)
	}
	return nil
}

// Demand turns the flags into a demand. What is wrong with one names the flag.
func (f Wanted) Demand() (buffer.Demand, error) {
	d, err := f.demand()
	if bad := (recipe.Problems)(nil); errors.As(err, &bad) {
		err = refused(err)
	}
	return d, err
}

// wrong is what is wrong with a field, in the words of neither flags nor the form.
func wrong(field, hint, format string, args ...any) error {
	return recipe.Problems{{Field: field, What: fmt.Sprintf(format, args...), Hint: hint}}
}

// demand is Demand with recipe.Problems by field, for whoever says them.
func (f Wanted) demand() (buffer.Demand, error) {
	for _, v := range []struct {
		name string
		v    float64
	}{{"ph", f.PH}, {"tolerance", f.Tolerance}, {"temp", f.TempC}, {"bench-temp", f.BenchC}, {"mM", f.MM}, {"ml", f.ML},
		{"ionic", f.IonicMM}, {"purity", f.PurityPct}, {"fill", f.FillPct}, {"drop-ul", f.DropUL}} {
		if math.IsNaN(v.v) || math.IsInf(v.v, 0) {
			return buffer.Demand{}, wrong(v.name, "", "%g is not a number to work with", v.v)
		}
	}
	d := buffer.NewDemand(f.PH)
	d.Tolerance, d.Use, d.Bench = f.Tolerance, chem.Celsius(f.TempC), chem.Celsius(f.BenchC)
	d.Molar, d.Volume, d.Fill = chem.Molarity(f.MM*1e-3), chem.Volume(f.ML)*chem.Millilitre, f.FillPct/100
	d.Ionic, d.Salt, d.Purity = f.IonicMM*1e-3, f.Salt, f.PurityPct/100
	d.Buffer, d.Way, d.Have, d.Acid, d.Base, d.Anyway = f.Buffer, buffer.Way(f.Way), f.Have, f.Acid, f.Base, f.Anyway
	for _, a := range f.Avoid {
		if a = strings.ToLower(strings.TrimSpace(a)); a == "temperature" {
			d.Steady = true
		} else if a != "" && !slices.Contains(d.Avoid, table.Property(a)) {
			d.Avoid = append(d.Avoid, table.Property(a))
		}
	}
	for _, s := range f.Stock {
		b, err := written.ReadBottle(s)
		if err != nil {
			return d, err
		}
		d.Bottles = append(d.Bottles, b)
	}
	var err error
	if d.Times, err = times(f.Strength); err != nil {
		return d, err
	}
	if f.Check == "" {
		if err = f.besides(&d); err != nil {
			return d, err
		}
	}
	return d, f.drop(&d)
}

// times reads "10x".
func times(text string) (float64, error) {
	s := strings.TrimRight(strings.TrimSpace(strings.ToLower(text)), "x×-fold ")
	if s == "" && text == "" {
		return 1, nil
	}
	n, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
	if err != nil || !(n >= 1 && n <= 100) {
		return 1, wrong("strength", "10x makes a stock that is diluted ten times before use", "%q: must be 1x to 100x", text)
	}
	return n, nil
}

// besides reads what is in it beside the buffer, for all that is made, and what of
// it is left out of account.
func (f Wanted) besides(d *buffer.Demand) error {
	if strings.TrimSpace(f.With) == "" {
		return nil
	}
	r, err := written.Read(f.With, d.Volume*chem.Volume(d.Times))
	if err != nil {
		return inField(err, "with")
	}
	if !math.IsNaN(r.PH) || r.Volume > 0 {
		return wrong("with", apartFromIt, "names substances; pH and volume have places of their own")
	}
	if r.Gas > 0 {
		return wrong("with", "leave it out; examine the recipe as a whole, or ask for the pH under a gas", "carbon dioxide above it sets the pH, with the hydrogen carbonate that is in it, and no titrant does")
	}
	d.With, d.Apart, d.Read = r.Ingredients(), r.Apart, r.Remarks()
	if r.Aldehyde && !slices.Contains(d.Avoid, table.Aldehydes) {
		d.Avoid = append(d.Avoid, table.Aldehydes)
	}
	d.Bottles = append(d.Bottles, r.Bottles()...)
	return nil
}

// inField puts the problems of a recipe down to a flag.
func inField(err error, field string) error {
	var bad recipe.Problems
	if !errors.As(err, &bad) {
		return err
	}
	for i := range bad {
		bad[i].Field = field
	}
	return bad
}

// drop takes the size of the drop from the flag or from a measured dropper.
func (f Wanted) drop(d *buffer.Demand) error {
	switch {
	case f.Dropper != "" && f.Changed("drop-ul"):
		return remedy.Call(errors.New("--dropper and --drop-ul exclude each other"), "leave one out")
	case f.Dropper != "":
		x, err := shelf.FindDropper(f.Dropper)
		if known := (*remedy.Error)(nil); errors.As(err, &known) && known.Kind == remedy.Usage {
			return wrong("dropper", strings.Join(known.Hints, "; "), "%s", known)
		}
		if err != nil {
			return err
		}
		d.DropUL, d.DropSDPct = &x.DropUL, &x.DropSDPct
	case f.Changed("drop-ul"):
		d.DropUL = &f.DropUL
	}
	return nil
}

// flagsOf are what a hint of chem/recipe says in words, and the flag that does it.
var flagsOf = [][2]string{
	{"allow pKa′ beyond ±1", "--anyway"}, {"make it from two salts", "--way salts"}, {"start with less water", "--fill"},
	{"a stronger bottle", "--stock"}, {"use one form and a strong acid or base", "--way titrate"}, {"which forms are available", "--have"},
	{"name it", "--buffer"}, {"what it also contains", "--with"},
}

// apartFromIt is a hint of this room.
const apartFromIt = "give the pH and the volume by themselves"

// withFlags says the flags for what a hint says in words.
var withFlags = func() *strings.Replacer {
	var pairs []string
	for _, x := range append(flagsOf, [2]string{apartFromIt, "--ph and --ml"}) {
		pairs = append(pairs, x[0], x[0]+" ("+x[1]+")")
	}
	return strings.NewReplacer(pairs...)
}()

// refused gives the problems of a demand as flags with hints.
func refused(err error) error {
	var bad recipe.Problems
	if !errors.As(err, &bad) {
		return remedy.Call(phrase.Plain(err))
	}
	var lines []error
	for _, b := range bad {
		what := phrase.Plain(errors.New(b.What)).Error()
		switch {
		case b.Field == "" || strings.ContainsAny(b.Field, ".["):
		case b.Field == "titrant" || b.Field == "weighed": // of the plan, and no flag
			what = b.Field + ": " + what
		default:
			what = "--" + b.Field + ": " + what
		}
		lines = append(lines, errors.New(what))
	}
	hints := slices.DeleteFunc(bad.Hints(), func(h string) bool {
		return slices.ContainsFunc(lines, func(e error) bool { return strings.Contains(e.Error(), h) })
	})
	for i := range hints {
		hints[i] = withFlags.Replace(hints[i])
	}
	return remedy.Call(errors.Join(lines...), hints...)
}
