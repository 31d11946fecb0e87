// Package journal is the event log of a run: append-only JSON Lines in which
// every line carries a hash over the line before it, so that a change shows.
// Nothing is ever rewritten: an undo is an event.
package journal
