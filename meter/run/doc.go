// Package run is the state machine of a titration: events in, state out.
//
// Step folds one event into a State and is pure; everything that the program
// shows, advises or reports follows from the State by Look, which is pure too.
//
// What a look answers with is a view.View, which makes its own words; what a person
// wants is an intent.Intent. A keep.Keeper writes each event to the journal before it
// counts; a session.Session puts clock, source and person around a Keeper.
package run
