// Package settle judges whether a reading is final. It estimates the end value
// of an approach from its shape, long before the electrode gets there, and says
// how sure it is; it never waits a fixed time.
//
// Electrode and stirring are taken to be a filter: what the beaker is at reaches
// the electrode through a first-order lag, the mixing, and the electrode follows
// with another, a share of it with a slower one. For each time constant of a
// grid and each of a few shapes, the end value, where the lags stood when the
// beaker was changed and the noise have a closed posterior (normal–inverse-gamma);
// grid and shapes are weighed by evidence. Where the lags stand, and what was
// learned of time constant, shape and noise, is carried from one addition to the
// next: an addition to an electrode that was still on its way is read as such.
package settle
