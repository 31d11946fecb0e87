// Package spot names what is wrong at a bench from the readings alone: the
// faults of stirrer, electrode, dropper, bottles and weighing that leave a mark
// in them, each with its evidence and with what to do about it.
//
// An Eye is folded from readings and additions as a run is, and is pure. What
// only chemistry can tell, how much charge a settled reading speaks for, is
// handed to it as numbers.
//
// Signs follow manuals of meters and guides for students; where such a list
// gives a figure it is named beside the constant, and the other figures are a
// choice of this project. Some faults cannot be seen in the readings of one run:
// a standard taken for another one moves everything alike, and an old standard
// of pH 10 or a wrong temperature by hand bends the scale by less than a beaker
// differs from its plan anyway. Nothing is said of these here.
package spot
