// Package intake is the gate for what comes into the program from outside:
// files, names, amounts. A file is read only when it is an ordinary one of a size
// that it can have; a text is taken only when nothing in it can do something to
// a terminal, a spreadsheet or a file name; what is already recorded is shown
// with such characters escaped. It knows nothing of what the texts mean.
package intake
