// Package playback shows what has been: a run on tape, forwards and back, and the log of
// another program, on a screen or in lines.
package playback
