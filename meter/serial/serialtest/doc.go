// Package serialtest is a fake pH meter on a pseudo-terminal, for tests of what
// reads a serial port: it streams lines, answers queries, falls silent, speaks
// at another speed, and can be unplugged and plugged in again. There is no meter on
// systems without pseudo-terminals.
package serialtest
