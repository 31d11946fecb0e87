// Package keep is a run that is kept: a Keeper folds events into a run.State, each written
// to its log before it counts, and the folder of journals holds runs that can be listed,
// resumed and completed by the reading after making up.
//
// A failure of the log never stops a run: what could not be written does not count, but for
// readings, and Keeper.Alarm says so.
package keep
