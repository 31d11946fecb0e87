package main

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/mixture"
	"github.com/spf13/cobra"
)

// newPhCommand is halfdrop ph: the pH of a mixture.
func newPhCommand() *cobra.Command {
	var f mixture.Asked
	cmd := &cobra.Command{
		Use:   `ph "NAME AMOUNT UNIT"…`,
		Short: "pH, ionic strength and buffer capacity of a mixture",
		Long: `The pH at equilibrium of reagents dissolved in water and made up to a volume
(--ml) or in a mass of water (--kg-water). Each argument is one reagent, found
by name, formula or usual synonym, with its amount in mmol, mol, g or mg, or as
"Tris 50 mM" or "glycerol 10 %", or with --ml as "HCl 1 M 25 mL". Concentrations
alone need no volume. A mass needs the hydrate to be said, an amount of substance
does not.

The pH is -log10 of the activity of H+. Every ion has an activity coefficient of
its own, by Pitzer's equations on the scale of Bates and Guggenheim, checked up
to an ionic strength of 3 mol/kg; ions without parameters take those of their
class. Complexes of metal ions are included, and salts that precipitate are
named. The ± is one standard deviation, and the notes say what it rests on.
Volumes are turned into masses of water by the volume the solutes take up.`,
		Example: `  halfdrop ph --temp 25 --ml 100 "KH2PO4 5 mmol" "NaOH 2.91 mmol"
  halfdrop ph --kg-water 1 "KHP 50 mmol" --species
  halfdrop ph --ml 1000 "HEPES 20 mmol" "KOH 12 mmol" "CaCl2 1 mmol" "EGTA 2 mmol" --species`,
		RunE: func(cmd *cobra.Command, args []string) error {
			f.Open = cmd.Flags().Changed("open-air")
			return f.Tell(cmd.OutOrStdout(), cmd.ErrOrStderr(), args)
		},
	}
	fl := cmd.Flags()
	fl.Float64Var(&f.TempC, "temp", 25, "temperature in °C, 0 to 60")
	fl.Float64Var(&f.ML, "ml", 0, "final volume in mL")
	fl.Float64Var(&f.KgWater, "kg-water", 0, "mass of water in kg, for molal standards")
	fl.BoolVar(&f.JSON, "json", false, "print one JSON object")
	fl.BoolVar(&f.Species, "species", false, "print every species as well")
	fl.BoolVar(&f.Davies, "davies", false, "use Davies' activity coefficients, as a cross-check below 0.3 mol/kg")
	fl.BoolVar(&f.Ideal, "ideal", false, "leave activity coefficients out, to compare with textbooks")
	fl.Float64Var(&f.AirPPM, "open-air", 1e6*chem.AmbientCO2, "open to air with this much CO₂ in ppm (as --open-air=PPM)")
	fl.Lookup("open-air").NoOptDefVal = fmt.Sprint(math.Round(1e6 * chem.AmbientCO2))
	return cmd
}
