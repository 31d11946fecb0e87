// Package task draws the pages of an exercise: what is to be done, the debrief, and
// the trace on which a person shows what gave a fault away.
package task
