// Package settle judges whether a reading is final. It estimates the end value
// of an approach from its shape, long before the electrode gets there, and says
// how sure it is; it never waits a fixed time.
//
// The approach is taken to be an end value, an exponential with the time
// constant of the electrode and a second one for mixing or for a slow tail.
// For each time constant of a grid the coefficients and the noise have a closed
// posterior (normal–inverse-gamma); the grid is weighed by evidence. What is
// learned of time constant and noise is carried from one addition to the next.
package settle
