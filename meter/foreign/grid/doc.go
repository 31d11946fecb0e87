// Package grid finds the table of numbers in the text of a file: its lines, how columns
// are set off, which rows belong to it, names and units of its columns, decimal commas
// and thousands, clock times. It knows nothing of titrations.
package grid
