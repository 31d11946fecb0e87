// Package find holds a belief about an amount that is looked for (the strength
// of a bottle, what is in a sample, the constant of a weak acid) and turns it
// into the addition whose reading is expected to tell most of it.
//
// As in package belief everything is done in charge: a reading y says that what is
// in the beaker, held at pH y, carries no net charge. That charge is linear in
// every amount, so that the whole curve with all of its spreads (weighing, drops
// or burette, slope and shift of the electrode, pK, carbonate in the base) is one
// linear problem with Gaussian errors; two or three Gauss–Newton steps solve it.
// Classical answers (steepest point, second difference, Gran) stand beside it.
//
// The package knows no clock, no meter and no words.
//
// Incomplete: carbon dioxide that leaves or enters the beaker on the way, and
// samples of which more than one amount is unknown.
package find
