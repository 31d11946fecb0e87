// Package keyrow has keys with what they do: the row of them at the bottom of every
// screen, and the page of all of them behind "?".
package keyrow
