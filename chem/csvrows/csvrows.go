// Package csvrows reads the tables that the chemistry carries with it.
package csvrows

import (
	"encoding/csv"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"sync"
)

// Once is a table that is read when it is first asked for. One that cannot be read is a
// fault of the program, which carries it along and has a test that reads it.
func Once[T any](read func() (T, error)) func() T {
	return sync.OnceValue(func() T {
		table, err := read()
		if err != nil {
			panic(err)
		}
		return table
	})
}

// Numbers are read from cells; Err is why the first that is none could not be.
type Numbers struct{ Err error }

func (n *Numbers) keep(err error) {
	if n.Err == nil {
		n.Err = err
	}
}

// Whole is a whole number.
func (n *Numbers) Whole(cell string) int {
	v, err := strconv.Atoi(cell)
	n.keep(err)
	return v
}

// Number is a number.
func (n *Numbers) Number(cell string) float64 {
	v, err := strconv.ParseFloat(cell, 64)
	n.keep(err)
	return v
}

// Maybe is a number; 0 and false of an empty cell.
func (n *Numbers) Maybe(cell string) (float64, bool) {
	if cell == "" {
		return 0, false
	}
	return n.Number(cell), true
}

// Read is the rows of a CSV with a header, which is dropped. An error is returned
// where a row has another number of fields, which is that of the header for 0, and where
// there is no row.
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
