package main

import (
	"example.org/halfdrop/tui/form"
	"github.com/spf13/cobra"
)

func newDropperCommand() *cobra.Command {
	var f form.Weighing
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
			at := form.Terminal{Out: cmd.OutOrStdout(), Talk: cmd.ErrOrStderr()}
			if len(args) == 0 || !cmd.Flags().Changed("grams") {
				return form.ShowDroppers(at, args, f.JSON)
			}
			f.Known = cmd.Flags().Changed("density")
			return f.Keep(at, args[0])
		},
	}
	fl := cmd.Flags()
	fl.IntVar(&f.Drops, "drops", 20, "how many drops were weighed together")
	fl.Float64SliceVar(&f.Grams, "grams", nil, "their mass in g; several weighings separated by commas")
	fl.StringVar(&f.Titrant, "titrant", "", `what the drops were, as in "NaOH 1 M"; default: water`)
	fl.Float64Var(&f.Density, "density", 0, "its density in g/mL, if it is known better than from the table")
	fl.Float64Var(&f.TempC, "temp", 22, "its temperature in °C")
	fl.BoolVar(&f.JSON, "json", false, "print what is known as JSON")
	return cmd
}
