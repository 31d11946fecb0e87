// Package coach holds a belief about what is in the beaker and turns it into
// the next addition.
//
// Everything is done in charge: a reading y says that the net charge of the
// composition held at pH y is zero. That charge is linear in every amount in
// the beaker and nearly linear in what the coach does not know, so a Gaussian
// belief is updated in one or two steps, the evidence of a hypothesis is a
// normal density, and the dose that reaches a pH is explicit.
//
// The package knows no clock, no meter and no words: reasons are values.
package coach
