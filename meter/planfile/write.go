package planfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"reflect"
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
	table(&b, "", rowsOf(p))
	if p.Find != nil {
		table(&b, "[find]", rowsOf(*p.Find))
	} else {
		table(&b, "[target]", rowsOf(p.Target))
	}
	beaker := rowsOf(p.Beaker)
	for i := range beaker {
		if p.Find != nil && beaker[i].key == "final_ml" {
			beaker[i].comment = "capacity of the vessel, mL"
		}
	}
	table(&b, "[beaker]", beaker)
	for _, x := range p.Weighed {
		table(&b, "[[weighed]]", rowsOf(x))
	}
	for _, x := range p.Titrants {
		table(&b, "[[titrant]]", rowsOf(x))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// rowsOf are the keys of a table of a plan that are given, by the tags of its struct; a text
// that must be there stands there empty as well.
func rowsOf(table any) (out []row) {
	v := reflect.ValueOf(table)
	for i := range v.NumField() {
		tag, value := v.Type().Field(i).Tag, ""
		switch x := v.Field(i).Interface().(type) {
		case string:
			if x != "" || !strings.HasSuffix(tag.Get("json"), ",omitempty") {
				value = textfile.Quoted(x)
			}
		case *float64:
			if x != nil {
				value = strconv.FormatFloat(*x, 'f', -1, 64)
			}
		case bool:
			if x {
				value = "true"
			}
		}
		if says := tag.Get("says"); value != "" && says != "" {
			out = append(out, row{tag.Get("toml"), value, says})
		}
	}
	return out
}

// table writes a table with its comments in one column.
func table(b *strings.Builder, head string, lines []row) {
	b.WriteString("\n")
	if head != "" {
		b.WriteString(head + "\n")
	}
	width := 0
	for _, l := range lines {
		width = max(width, len([]rune(l.key+" = "+l.value)))
	}
	for _, l := range lines {
		s := l.key + " = " + l.value
		fmt.Fprintf(b, "%s%s  # %s\n", s, strings.Repeat(" ", width-len([]rune(s))), l.comment)
	}
}

func kind(base bool) string {
	if base {
		return "base"
	}
	return "acid"
}
