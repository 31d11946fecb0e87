// Package table holds the data of chem: acid–base systems with the source of
// every constant, and the reagents of a biochemistry bench with what they
// supply to a solution.
//
// Every row of data/*.csv names its source and says whether the figure was
// seen in a retrieved copy or written down from memory; a row without either
// is refused when the table is read.
//
// Incomplete: no chelators with more than four protons, no mixed anhydrides,
// no purity or water content of real lots.
package table
