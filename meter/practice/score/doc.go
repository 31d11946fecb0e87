// Package score judges a run of an exercise: points by item and skill, why, what to keep
// in mind, and the debrief that compares what was done with what the coach would have done.
// What really happened in the beaker it takes from practice, which does the run once more.
package score
