// Package coach turns what is believed of a beaker into the next addition: add so many drops of
// this, wait, done, or look what is wrong. It knows no clock, no meter and no words: reasons are
// values.
//
// Begin reading at advise.go; present.go has when a reading is good enough. What is asked for is
// computed in the rooms below: the accounts that there are of a beaker (account), what readings
// make of them (belief, nameless), and how many drops are safe (dose).
package coach
