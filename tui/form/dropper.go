package form

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/written"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/textfile"
)

// Weighing is what was weighed of a dropper.
type Weighing struct {
	Drops   int
	Grams   []float64 // of each weighing
	Titrant string    // what dripped; none for water
	Known   bool      // the density is given
	Density float64   // g/mL
	TempC   float64
	JSON    bool
}

// Keep measures the drop of a dropper and keeps it under a name.
func (f Weighing) Keep(at Terminal, name string) error {
	if name = strings.TrimSpace(name); name == "" {
		return remedy.Call(errors.New("the dropper needs a name"), "name it after its marking, as in: halfdrop plan dropper blue --grams 0.98")
	}
	if !(f.TempC >= 0 && f.TempC <= 60) {
		return remedy.Call(fmt.Errorf("--temp %g: must be 0 to 60 °C", f.TempC))
	}
	rho, from, err := f.liquid()
	if err != nil {
		return err
	}
	m, err := recipe.MeasureDrop(f.Drops, f.Grams, rho)
	if err != nil {
		return refused(err)
	}
	liquid := f.Titrant
	if liquid == "" {
		liquid = "water"
	}
	d := shelf.Dropper{Name: name, DropUL: phrase.Decimals(m.UL, 1), DropSDPct: phrase.Decimals(m.SDPct, 1), Drops: f.Drops, Grams: f.Grams,
		Density: phrase.Decimals(rho, 4), Liquid: liquid, Measured: time.Now().Truncate(time.Second)}
	path, err := shelf.KeepDropper(d)
	if err != nil {
		return err
	}
	fmt.Fprintf(at.Out, "%s: %s µL a drop ± %s %% (%s, %s g/mL %s)\n", name, chem.Digits(d.DropUL, 3), chem.Digits(d.DropSDPct, 2), liquid, chem.Digits(rho, 4), from)
	if !math.IsNaN(m.Scatter) {
		fmt.Fprintf(at.Out, "weighings scatter by %s %%\n", chem.Digits(m.Scatter, 2))
	}
	fmt.Fprintf(at.Talk, "halfdrop: kept in %s; use it with plan --dropper %q\n", path, name)
	if f.Titrant == "" {
		fmt.Fprintln(at.Talk, "halfdrop: hint: drops of another liquid have another size; weigh the titrant itself if you can")
	}
	return nil
}

// liquid is the density of what was dripped and where it comes from.
func (f Weighing) liquid() (float64, string, error) {
	if f.Known {
		return f.Density, "as given", nil
	}
	t := chem.Celsius(f.TempC)
	if f.Titrant == "" {
		return chem.WaterDensity(t), "of water", nil
	}
	b, err := written.ReadBottle(f.Titrant)
	if err != nil {
		return 0, "", remedy.Call(phrase.Plain(fmt.Errorf("--titrant: %s", strings.TrimPrefix(err.Error(), "stock: "))), `as in --titrant "NaOH 1 M"`)
	}
	return recipe.Density(b.Reagent, b.Molar, t), "from partial molar volumes", nil
}

// ShowDroppers shows what is known of a dropper, or of all.
func ShowDroppers(at Terminal, args []string, asJSON bool) error {
	list, _, err := shelf.ReadDroppers()
	if err != nil {
		return err
	}
	if len(args) == 1 {
		d, err := shelf.FindDropper(args[0])
		if err != nil {
			return err
		}
		list.Dropper = []shelf.Dropper{d}
	}
	if asJSON {
		return textfile.JSON(at.Out, append([]shelf.Dropper{}, list.Dropper...))
	}
	if len(list.Dropper) == 0 {
		fmt.Fprintf(at.Talk, "halfdrop: no dropper has been measured yet; a drop is taken as %g µL ± 15 %%\n", recipe.DefaultDropUL)
		fmt.Fprintln(at.Talk, "halfdrop: hint: weigh 20 drops of the titrant: halfdrop plan dropper NAME --grams 0.98 --titrant \"NaOH 1 M\"")
		return nil
	}
	return writeDroppers(at.Out, list.Dropper)
}

func writeDroppers(w io.Writer, list []shelf.Dropper) error {
	t := phrase.Columns(w)
	fmt.Fprint(t, "dropper\tµL a drop\t± %\twith\tmeasured\n")
	for _, d := range list {
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\n", d.Name, chem.Digits(d.DropUL, 3), chem.Digits(d.DropSDPct, 2), d.Liquid, d.Measured.Format(time.DateOnly))
	}
	return t.Flush()
}
