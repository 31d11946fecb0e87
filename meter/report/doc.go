// Package report makes the record of a run: what was made, how, and what came
// of it, as one self-contained HTML page, as a figure, as tables and as data.
// Everything is a pure function of the run's events.
package report
