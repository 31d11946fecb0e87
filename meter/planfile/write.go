package planfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/textfile"
)

// Save writes the plan file. It does not write over another one unless
// that is wanted, and never leaves half a file behind.
func Save(path string, x *prepare.Draft, force bool) error {
	var b bytes.Buffer
	if err := Write(&b, x.Plan, Reasons(x)); err != nil {
		return err
	}
	if !force {
		if _, err := os.Stat(path); err == nil {
			return remedy.With(fmt.Errorf("%s exists already", path), "name another file, or write over it with --force")
		} else if !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	if err := textfile.Exchange(path, b.Bytes(), 0o644); err != nil {
		return remedy.With(err, "name a folder that exists and can be written to")
	}
	return nil
}

// Reasons are the lines at the head of a plan file.
func Reasons(x *prepare.Draft) []string {
	out := []string{
		"Plan of halfdrop plan, for halfdrop titrate --plan FILE.",
		"Numbers have a decimal point; text is in quotes; what follows # is for people.",
		"",
		x.Aim.Words(x.Setup.BenchTemp, x.Setup.UseTemp),
	}
	if x.Way == buffer.ByTitrant {
		out = append(out, fmt.Sprintf("Predicted: %s mmol ± %s of %s brings it there.", chem.Digits(x.Amount.Millimoles(), 3), chem.Digits(x.AmountSD.Millimoles(), 1), kind(x.Base)))
	}
	return out
}

// row is one key of a plan file with its comment.
type row struct{ key, value, comment string }

// Write writes a plan as TOML with a comment on every field. What it
// writes reads back as the same plan.
func Write(w io.Writer, p recipe.Plan, head []string) error {
	var b strings.Builder
	for _, h := range head {
		for _, line := range phrase.Wrap(h, 76) {
			b.WriteString(strings.TrimRight("# "+line, " ") + "\n")
		}
	}
	table(&b, "", []row{{"name", textfile.Quoted(p.Name), "the name of the run in the record"}})
	if p.Find != nil {
		table(&b, "[find]", findLines(p.Find))
	} else {
		table(&b, "[target]", targetLines(p.Target))
	}
	mark := "the mark to make up to, mL"
	if p.Find != nil {
		mark = "capacity of the vessel, mL"
	}
	table(&b, "[beaker]", []row{
		number("start_ml", p.Beaker.StartML, "in the beaker before titration, mL"),
		number("final_ml", p.Beaker.FinalML, mark),
		number("temp_c", p.Beaker.TempC, "at the stir plate, °C; the aim moves with it"),
	})
	for _, x := range p.Weighed {
		table(&b, "[[weighed]]", []row{
			{"reagent", textfile.Quoted(x.Reagent), "name or formula, as on the jar"},
			number("mmol", x.MMol, "amount, mmol; or grams = … in its place"),
			number("grams", x.Grams, "mass on the balance, g; or mmol = … in its place"),
			number("purity_pct", x.PurityPct, "of that mass, %"),
		})
	}
	for _, x := range p.Titrants {
		table(&b, "[[titrant]]", []row{
			{"name", textfile.Quoted(x.Name), "the label of the bottle"},
			{"reagent", textfile.Quoted(x.Reagent), "what is in it"},
			number("molar", x.Molar, "its strength, mol/L"),
			number("drop_ul", x.DropUL, "one drop of its dropper, µL"),
			number("drop_sd_pct", x.DropSDPct, "how far a drop size may be off, one standard deviation, %"),
			given("bottle", x.Bottle, "the name it is remembered by"),
			given("opened", x.Opened, "year-month-day"),
			given("dropper", x.Dropper, "the name it is remembered by"),
			given("by", x.By, "dropper, or in mL pipette or burette"),
			number("step_ml", x.StepML, "smallest step read on a pipette or burette, mL"),
			number("ml_sd_pct", x.MLSDPct, "how far its mL may be off, one standard deviation, %"),
			number("molar_sd_pct", x.MolarSDPct, "how far the strength may be off, one standard deviation, %"),
		})
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func targetLines(t recipe.Target) []row {
	return []row{
		number("ph", t.PH, "wanted in use: made up to the mark, at the temperature of use"),
		number("tolerance", t.Tolerance, "tolerance ±"),
		number("use_temp_c", t.UseTempC, "temperature of use, °C"),
		number("dilute", t.Dilute, "dilution before use, -fold"),
	}
}

// findLines are the keys of what is looked for.
func findLines(f *recipe.Find) []row {
	boiled := row{}
	if f.Boiled {
		boiled = row{"boiled", "true", "carbon dioxide was boiled out, in an excess of acid"}
	}
	return []row{
		{"what", textfile.Quoted(f.What), "strength of the first titrant, amount in a sample, pk, or blank"},
		given("of", f.Of, "the reagent in the beaker to be determined"),
		number("spread_pct", f.SpreadPct, "how well it must be known, %"),
		number("spread_pk", f.SpreadPK, "the same of a pK"),
		number("spread_ml", f.SpreadML, "the same of a blank, mL"),
		number("guess_pct", f.GuessPct, "how far off the amount below may be, %"),
		boiled,
		number("pk", f.PK, "a guess"),
		number("weigh_sd_mg", f.WeighMG, "of the balance, mg"),
		number("purity_sd_pct", f.PuritySD, "of the standard, %"),
		number("sample_ml", f.SampleML, "of the sample, mL"),
		number("sample_sd_pct", f.SampleSD, "of that volume, %"),
		number("blank_ml", f.BlankML, "of the first titrant, used by the same without sample, mL"),
		number("blank_sd_ml", f.BlankSD, "of that, mL"),
		number("carbonate_pct", f.Carbonate, "carbonate in the base, mol in 100 mol"),
		number("carbonate_sd_pct", f.CarbonSD, "of that"),
		number("read_sd_ml", f.ReadML, "of one reading of the burette, mL"),
		number("meter_sd_ph", f.MeterSD, "of the calibration, pH"),
		number("meter_slope_sd_pct", f.SlopePct, "of the slope of the meter, %"),
		number("meter_bend_sd_ph", f.BendSD, "of what these leave of its scale, pH"),
	}
}

// given is a line with a text, or with nothing when it was not given.
func given(key, v, comment string) row {
	if v == "" {
		return row{}
	}
	return row{key, textfile.Quoted(v), comment}
}

// number is a line with a number, or with nothing when it was not given.
func number(key string, v *float64, comment string) row {
	if v == nil {
		return row{}
	}
	return row{key, strconv.FormatFloat(*v, 'f', -1, 64), comment}
}

// table writes a table with its comments in one column.
func table(b *strings.Builder, head string, lines []row) {
	b.WriteString("\n")
	if head != "" {
		b.WriteString(head + "\n")
	}
	width := 0
	for _, l := range lines {
		if n := len([]rune(l.key + " = " + l.value)); l.key != "" && n > width {
			width = n
		}
	}
	for _, l := range lines {
		if l.key != "" {
			s := l.key + " = " + l.value
			fmt.Fprintf(b, "%s%s  # %s\n", s, strings.Repeat(" ", width-len([]rune(s))), l.comment)
		}
	}
}

func kind(base bool) string {
	if base {
		return "base"
	}
	return "acid"
}
