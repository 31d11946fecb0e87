// Package terminal is what every screen and every line mode needs of the terminal: what a
// front end can be told, a program shown on the whole screen and taken away again, the
// background asked for, lines broken at its width and read.
package terminal
