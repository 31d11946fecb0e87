// Package learn finds out, with a person, what the lines of a meter hold. It
// parts the first lines into columns, says of each what it can and cannot be and
// why, takes what the person says, and makes a dialect of it. It is pure.
//
// A column that a label or a unit names needs no question. Of the others it
// never guesses: until somebody has said which is the pH, or the mV, there is
// no dialect.
package learn
