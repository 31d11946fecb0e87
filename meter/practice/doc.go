// Package practice is titrating to learn it: exercises on the simulated bench
// with hidden truths and faults, and a run of one done once more. The score is in
// practice/score, what many runs show in practice/class.
//
// A result is the journal of its run. From its first line, which names the
// exercise and the seed, the bench is put together again and everything that
// was recorded is done to it once more: so the score knows what was really in
// the beaker, and a journal whose readings are not those of that bench shows.
package practice
