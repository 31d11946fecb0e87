// Package foreign reads the logs of other programs: it finds what each column is,
// asks what only a person can say, and makes a curve of the log, with the unknown
// acids or the amount that the curve tells of.
package foreign
