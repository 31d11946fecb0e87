// Package hand is what a person is about to record: digits, a bottle, drops that are
// counted, questions and their answers, and what of it is wanted of the run. The screen
// and the line mode share it; neither decides what a key or a word means.
package hand
