// Package planform is the form for a plan: fields with their choices, the card beside
// them, the page of buffers and the sheet of the bench. What the words of a field mean
// is known by a Planner.
package planform
