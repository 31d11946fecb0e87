// Package csvrows reads the tables that the chemistry carries with it.
package csvrows

import (
	"encoding/csv"
	"errors"
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
