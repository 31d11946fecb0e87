// Package menu draws a list to choose from, with words about the chosen row and
// what it would be like beside it.
package menu
