// Package intent is what a person can want of a run, whatever the front end (keys, lines
// or a program), and what comes of it: an Intent goes in, an Answer comes back.
package intent
