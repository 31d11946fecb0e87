// Package session is a run in time: a source of readings, a clock and a person around a
// keep.Keeper. Intents and reports go in, events are put on record, views come out.
//
// What is added to a simulated bench is told to it here (Dispenser, Dripper, Dipper,
// Shelf); a real bench has none of them. All errors of an intent come back as an Answer to
// it; Run itself fails only with its source or its context.
package session
