// Package pick is choosing on a screen: from a menu, with what a row is like looked up
// beside it, an exercise, and what to do after its debrief.
package pick
