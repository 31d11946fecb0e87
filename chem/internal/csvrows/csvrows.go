// Package csvrows reads the tables that the chemistry carries with it.
package csvrows

import (
	"encoding/csv"
	"errors"
	"fmt"
	"strings"
)

// Read is the rows of a CSV with a header, which is dropped. An error is returned
// where a row has another number of fields, and where there is no row.
func Read[T string | []byte](text T, fields int) ([][]string, error) {
	r := csv.NewReader(strings.NewReader(string(text)))
	r.FieldsPerRecord = fields
	rows, err := r.ReadAll()
	if err != nil {
		return nil, err
	}
	if len(rows) < 2 {
		return nil, errors.New("no rows")
	}
	return rows[1:], nil
}

// Each hands the rows of such a CSV to take, one after the other. An error says what
// table it is, and in which line.
func Each[T string | []byte](text T, fields int, what string, take func(row []string) error) error {
	rows, err := Read(text, fields)
	if err != nil {
		return fmt.Errorf("%s: %w", what, err)
	}
	for i, r := range rows {
		if err := take(r); err != nil {
			return fmt.Errorf("%s, line %d: %w", what, i+2, err)
		}
	}
	return nil
}
