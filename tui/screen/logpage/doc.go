// Package logpage draws the log of another program: how it was read, what has to be
// asked, its curve with one reading of it.
package logpage
