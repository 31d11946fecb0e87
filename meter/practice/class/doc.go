// Package class is what many runs of exercises show: where a pupil stands and what
// should be done next, the table of a class with what was handed in twice, and the desk
// of a teacher, as text, CSV and a page.
package class
