// Package run is the state machine of a titration: events in, state out.
//
// Step folds one event into a State and is pure; everything that the program
// shows, advises or reports follows from the State by Look, which is pure too.
// A Keeper writes each event to the journal before it counts; a Session adds
// a source of readings, a clock and a person.
package run
