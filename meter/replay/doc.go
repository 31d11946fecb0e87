// Package replay looks back on a run: it reads a journal into a compact form that
// can be stepped through in both directions, and explains where it overshot.
//
// A Run holds every reading in 32 bytes and a state of the run every so often,
// so that any moment is a few thousand events away from a state at hand. The
// states are those of run.Step: what is shown of a moment is computed the way
// it was computed then.
package replay
