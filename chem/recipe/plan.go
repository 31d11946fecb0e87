// Package recipe turns a plan, what a person means to weigh and to drip, into
// solutions that the equilibrium model and the coach can compute with, and lists the
// gross mistakes to keep an eye on. Where plans come from stands in rooms below it.
package recipe

// Plan is what a plan file says. A pointer that is nil was not given. What a key means stands
// in its tag says, for the file and for whoever reads this.
type Plan struct {
	Name     string    `toml:"name" json:"name" says:"the name of the run in the record"`
	Target   Target    `toml:"target" json:"target"`
	Find     *Find     `toml:"find" json:"find,omitempty"` // an amount is looked for, instead of a target
	Beaker   Beaker    `toml:"beaker" json:"beaker"`
	Weighed  []Weighed `toml:"weighed" json:"weighed"`
	Titrants []Titrant `toml:"titrant" json:"titrant"`
}

// Target is the pH wanted in use: made up to the mark, diluted if it is a stock,
// at the temperature of use.
type Target struct {
	PH        *float64 `toml:"ph" json:"ph,omitempty" says:"wanted in use: made up to the mark, at the temperature of use"`
	Tolerance *float64 `toml:"tolerance" json:"tolerance,omitempty" says:"tolerance ±"`              // half width; default 0.05
	UseTempC  *float64 `toml:"use_temp_c" json:"use_temp_c,omitempty" says:"temperature of use, °C"` // °C; default that of the beaker
	Dilute    *float64 `toml:"dilute" json:"dilute,omitempty" says:"dilution before use, -fold"`     // so many times before use; default 1
}

// Beaker is what stands on the stir plate.
type Beaker struct {
	StartML *float64 `toml:"start_ml" json:"start_ml,omitempty" says:"in the beaker before titration, mL"`       // in the beaker now
	FinalML *float64 `toml:"final_ml" json:"final_ml,omitempty" says:"the mark to make up to, mL"`               // the mark
	TempC   *float64 `toml:"temp_c" json:"temp_c,omitempty" says:"at the stir plate, °C; the aim moves with it"` // °C; default 25
}

// Weighed is a reagent in the beaker, or for it once the pH is set, as an amount or as a mass.
type Weighed struct {
	Reagent   string   `toml:"reagent" json:"reagent" says:"name or formula, as on the jar"`
	MMol      *float64 `toml:"mmol" json:"mmol,omitempty" says:"amount, mmol; or grams = … in its place"`
	Grams     *float64 `toml:"grams" json:"grams,omitempty" says:"mass on the balance, g; or mmol = … in its place"`
	PurityPct *float64 `toml:"purity_pct" json:"purity_pct,omitempty" says:"of that mass, %"` // with grams; default 100
	Late      bool     `toml:"late" json:"late,omitempty" says:"it goes in once the pH is set, and not before"`
	SDPct     *float64 `toml:"-" json:"sd_pct,omitempty"` // how sure the amount is, where it was found at the plate; default ordinary care
}

// Titrant is a bottle with what it is given by: a dropper, or in mL a pipette or a
// burette.
type Titrant struct {
	Name       string   `toml:"name" json:"name" says:"the label of the bottle"`
	Reagent    string   `toml:"reagent" json:"reagent" says:"what is in it"`
	Molar      *float64 `toml:"molar" json:"molar,omitempty" says:"its strength, mol/L"`
	DropUL     *float64 `toml:"drop_ul" json:"drop_ul,omitempty" says:"one drop of its dropper, µL"`                                          // default 50
	DropSDPct  *float64 `toml:"drop_sd_pct" json:"drop_sd_pct,omitempty" says:"how far a drop size may be off, one standard deviation, %"`    // default 10 with drop_ul, else 15
	Bottle     string   `toml:"bottle" json:"bottle,omitempty" says:"the name it is remembered by"`                                           // its own name, under which it is remembered
	Opened     string   `toml:"opened" json:"opened,omitempty" says:"year-month-day"`                                                         // when it was, as 2026-11-25
	Dropper    string   `toml:"dropper" json:"dropper,omitempty" says:"the name it is remembered by"`                                         // the name of what it is dripped with; default the bottle's own
	By         string   `toml:"by" json:"by,omitempty" says:"dropper, or in mL pipette or burette"`                                           // dropper, pipette or burette; default dropper
	StepML     *float64 `toml:"step_ml" json:"step_ml,omitempty" says:"smallest step read on a pipette or burette, mL"`                       // of a pipette or burette, default 0.05
	MLSDPct    *float64 `toml:"ml_sd_pct" json:"ml_sd_pct,omitempty" says:"how far its mL may be off, one standard deviation, %"`             // default 1 of a pipette, 0.5 of a burette
	MolarSDPct *float64 `toml:"molar_sd_pct" json:"molar_sd_pct,omitempty" says:"how far the strength may be off, one standard deviation, %"` // default 4
}

// Defaults for what a plan leaves out (a choice of this project; the 50 µL
// drop is 20 drops to the mL: USP <1101> by way of a pharmacy laboratory page).
const (
	DefaultTolerance  = 0.05
	DefaultTempC      = 25.0
	DefaultDropUL     = 50.0
	MeasuredDropSDPct = 10.0
	DefaultDropSDPct  = 15.0
	defaultMolarSDPct = 4.0
)

// MostTimes is the strongest stock that is planned.
const MostTimes = 100

func or(p *float64, def float64) float64 {
	if p != nil {
		return *p
	}
	return def
}
