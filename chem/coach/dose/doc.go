// Package dose says how many drops of a stock may be given: those that bring the beaker past
// aim and tolerance with no more than a small chance, by all accounts together, and of several
// stocks the one to take.
//
// Begin reading at dose.go; limit.go has what may be risked, stock.go the choice among stocks.
package dose
