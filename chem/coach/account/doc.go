// Package account holds the accounts that there are of a beaker and its bottles, before any
// reading speaks for one of them: all as planned, each gross mistake, and each for hands and
// meters of every degree of care. An account says what it takes for unknown, how well that is
// known, and, for values of the unknowns, what is in the beaker, what charge it has at a pH
// and what the meter is to show.
//
// Begin reading at bench.go, which is what an account starts from, and account.go. What
// readings make of the accounts is in package belief.
package account
