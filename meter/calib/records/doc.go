// Package records are the calibrations that were made, one after the other: read from a
// stream, found by the name of their electrode, and as a table.
package records
