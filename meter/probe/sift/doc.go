// Package sift says which readings count before anything is made of them: Bin joins those of a
// fast meter to one, Lines follows the lower of the two lines that a meter shows near mains, and
// Sieve leaves out single and paired wild ones.
//
// Each is a value that takes a Sample and says what passes; none knows an electrode or a beaker.
// Begin with Sieve (sieve.go). Times are in s, values in pH.
package sift
