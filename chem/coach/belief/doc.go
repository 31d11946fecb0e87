// Package belief holds what is believed of a beaker after readings: how likely each account
// of it is, what is thought of the unknowns under each, and what additions will do.
//
// Everything is done in charge: a reading y says that the net charge of the
// composition held at pH y is zero. That charge is linear in every amount in
// the beaker and nearly linear in what is not known, so a Gaussian
// belief is updated in one or two steps, the evidence of an account is a
// normal density, and the dose that reaches a pH is explicit.
//
// Begin reading at belief.go; fit.go has the Gaussian, extend.go how a further reading comes
// on top of it, goal.go what an addition is to bring.
package belief
