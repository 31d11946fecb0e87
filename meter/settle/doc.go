// Package settle judges whether a reading is final. It estimates the end value
// of an approach from its shape, long before the electrode gets there, and says
// how sure it is; it never waits a fixed time.
//
// The approach is taken to be a step behind two first-order lags in series, the
// mixing of the titrant and the electrode, of which a part may be slow. For each
// time constant of a grid and each of a few shapes, the end value, the size of
// the step and the noise have a closed posterior (normal–inverse-gamma); grid
// and shapes are weighed by evidence. What is learned of time constant and noise
// is carried from one addition to the next.
package settle
