// Package bench keeps what runs have shown of the things on a bench: what a drop
// of a dropper brings from a bottle, and how an electrode behaves.
//
// A book is a list of what runs have shown, in the order in which they were made;
// what is known is worked out from it each time. Readings show only the product of
// drop size and strength, so the product is what is kept. Size and strength are
// told apart as far as one dropper was used with several bottles, or was weighed. A
// pipette or a burette is one portion of its own to each bottle, 1 mL.
//
// The law of age, a choice of this project: a dropper and a bottle each go their
// own way as a random walk, by dropWalk and bottleWalk in the root of a month, and
// a drop falls a little different each time that somebody takes the dropper up, by
// session. What was learned of an electrode halves its weight in electrodeHalf.
package bench
