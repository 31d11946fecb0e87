package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/textfile"
	"example.org/halfdrop/tui/form"
	"github.com/spf13/cobra"
)

type dropperFlags struct {
	drops   int
	grams   []float64
	titrant string
	density float64
	tempC   float64
	asJSON  bool
}

func newDropperCommand() *cobra.Command {
	var f dropperFlags
	cmd := &cobra.Command{
		Use:   "dropper [NAME]",
		Short: "Measure the drop of a dropper by weighing, and keep it",
		Long: `Put a small beaker on the balance, tare, let 20 drops of the titrant itself fall
into it from an upright dropper, and give the mass. The density of the titrant
turns it into a volume. Three weighings or more, with commas between, tell how
steady the dropper is. The size is kept under the name of the dropper.

Without a mass it shows what is known of that dropper, or of all.`,
		Example: `  halfdrop plan dropper blue --grams 0.98 --titrant "NaOH 1 M"
  halfdrop plan dropper blue --grams 0.98,1.01,0.99 --titrant "NaOH 1 M"
  halfdrop plan --ph 7.4 --dropper blue`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 || !cmd.Flags().Changed("grams") {
				return showDroppers(cmd, args, f.asJSON)
			}
			return measureDropper(cmd, args[0], f)
		},
	}
	fl := cmd.Flags()
	fl.IntVar(&f.drops, "drops", 20, "how many drops were weighed together")
	fl.Float64SliceVar(&f.grams, "grams", nil, "their mass in g; several weighings separated by commas")
	fl.StringVar(&f.titrant, "titrant", "", `what the drops were, as in "NaOH 1 M"; default: water`)
	fl.Float64Var(&f.density, "density", 0, "its density in g/mL, if it is known better than from the table")
	fl.Float64Var(&f.tempC, "temp", 22, "its temperature in °C")
	fl.BoolVar(&f.asJSON, "json", false, "print what is known as JSON")
	return cmd
}

func measureDropper(cmd *cobra.Command, name string, f dropperFlags) error {
	if name = strings.TrimSpace(name); name == "" {
		return usageError(errors.New("the dropper needs a name"), "name it after its marking, as in: halfdrop plan dropper blue --grams 0.98")
	}
	if !(f.tempC >= 0 && f.tempC <= 60) {
		return usageError(fmt.Errorf("--temp %g: must be 0 to 60 °C", f.tempC))
	}
	rho, from, err := f.liquid(cmd.Flags().Changed("density"))
	if err != nil {
		return err
	}
	m, err := recipe.MeasureDrop(f.drops, f.grams, rho)
	if err != nil {
		return form.Refused(err)
	}
	liquid := f.titrant
	if liquid == "" {
		liquid = "water"
	}
	d := shelf.Dropper{Name: name, DropUL: math.Round(m.UL*10) / 10, DropSDPct: math.Round(m.SDPct*10) / 10, Drops: f.drops, Grams: f.grams,
		Density: math.Round(rho*1e4) / 1e4, Liquid: liquid, Measured: time.Now().Truncate(time.Second)}
	path, err := shelf.KeepDropper(d)
	if err != nil {
		return err
	}
	fmt.Fprintf(cmd.OutOrStdout(), "%s: %s µL a drop ± %s %% (%s, %s g/mL %s)\n", name, phrase.Sig(d.DropUL, 3), phrase.Sig(d.DropSDPct, 2), liquid, phrase.Sig(rho, 4), from)
	if !math.IsNaN(m.Scatter) {
		fmt.Fprintf(cmd.OutOrStdout(), "weighings scatter by %s %%\n", phrase.Sig(m.Scatter, 2))
	}
	fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: kept in %s; use it with plan --dropper %q\n", path, name)
	if f.titrant == "" {
		fmt.Fprintln(cmd.ErrOrStderr(), "halfdrop: hint: drops of another liquid have another size; weigh the titrant itself if you can")
	}
	return nil
}

// liquid is the density of what was dripped and where it comes from.
func (f dropperFlags) liquid(given bool) (float64, string, error) {
	if given {
		return f.density, "as given", nil
	}
	t := chem.Celsius(f.tempC)
	if f.titrant == "" {
		return chem.WaterDensity(t), "of water", nil
	}
	b, err := recipe.ReadBottle(f.titrant)
	if err != nil {
		return 0, "", usageError(phrase.Plain(fmt.Errorf("--titrant: %s", strings.TrimPrefix(err.Error(), "stock: "))), `as in --titrant "NaOH 1 M"`)
	}
	return recipe.Density(b.Reagent, b.Molar, t), "from partial molar volumes", nil
}

func showDroppers(cmd *cobra.Command, args []string, asJSON bool) error {
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
		return textfile.JSON(cmd.OutOrStdout(), append([]shelf.Dropper{}, list.Dropper...))
	}
	if len(list.Dropper) == 0 {
		fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: no dropper has been measured yet; a drop is taken as %g µL ± 15 %%\n", recipe.DefaultDropUL)
		fmt.Fprintln(cmd.ErrOrStderr(), "halfdrop: hint: weigh 20 drops of the titrant: halfdrop plan dropper NAME --grams 0.98 --titrant \"NaOH 1 M\"")
		return nil
	}
	return writeDroppers(cmd.OutOrStdout(), list.Dropper)
}

func writeDroppers(w io.Writer, list []shelf.Dropper) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprint(t, "dropper\tµL a drop\t± %\twith\tmeasured\n")
	for _, d := range list {
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\n", d.Name, phrase.Sig(d.DropUL, 3), phrase.Sig(d.DropSDPct, 2), d.Liquid, d.Measured.Format(time.DateOnly))
	}
	return t.Flush()
}
