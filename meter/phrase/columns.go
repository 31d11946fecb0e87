package phrase

import (
	"io"
	"text/tabwriter"
)

// Columns is a table for people: the cells of a row are parted by tabs, and stand two
// blanks apart once it is flushed.
func Columns(w io.Writer) *tabwriter.Writer { return tabwriter.NewWriter(w, 0, 0, 2, ' ', 0) }

// Figures is Columns with every cell at the right of its column, as numbers are compared.
func Figures(w io.Writer) *tabwriter.Writer {
	return tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
}
