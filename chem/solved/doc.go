// Package solved is everything about one solution: its pH with its spread and what that rests
// on, capacity, the change with temperature and with dilution, every form and every complex,
// free metal ions, and the salts that come out of it.
//
// The chemistry is that of room chem; Describe is where to begin. Judge is the one spread of a
// pH, for a curve, a plan and a coach too. Its figures of judgement stand in doubt.go.
package solved
