package table

import (
	_ "embed"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/csvrows"
)

//go:embed data/forms.csv
var formsCSV []byte

// formRow is one row of the table of forms: a system in one state of protonation.
type formRow struct {
	charge int
	form   chem.Form
	water  bool // the step that it loses a proton in takes up water
}

// readForms reads the table, by system in the order of the file.
func readForms(data []byte) (map[string][]formRow, error) {
	out := map[string][]formRow{}
	err := csvrows.Each(data, 9, "table: forms", func(r []string) error {
		z, err := strconv.Atoi(r[1])
		if err != nil || r[0] == "" || strings.TrimSpace(r[2]) == "" || r[5] == "" {
			return errors.New("needs a system, a charge, a name and a source")
		}
		ml, err := strconv.ParseFloat(r[6], 64)
		if by := Origin(r[8]); err != nil || r[7] == "" || by != Seen && by != Memory {
			return errors.New("needs a volume with its source")
		}
		k := key(r[0])
		out[k] = append(out[k], formRow{charge: z, form: chem.Form{Name: r[2], Ion: r[3], Volume: ml}, water: r[4] == "yes"})
		return nil
	})
	return out, err
}

// addForms gives every system its forms.
func (t *systemTable) addForms(data []byte) error {
	forms, err := readForms(data)
	if err != nil {
		return err
	}
	for _, s := range t.sorted {
		list := forms[key(s.Name)]
		if len(list) != len(s.Steps)+1 {
			return fmt.Errorf("table: forms: %s has %d forms, not %d", s.Name, len(list), len(s.Steps)+1)
		}
		for j, f := range list {
			if f.charge != s.Charge-j {
				return fmt.Errorf("table: forms: %s: charge %d, not %d", s.Name, f.charge, s.Charge-j)
			}
			s.Forms = append(s.Forms, f.form)
			if j < len(s.Steps) {
				s.Steps[j].Water = f.water
			}
		}
	}
	return nil
}
