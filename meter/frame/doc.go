// Package frame turns what a meter sends into readings. It is pure: bytes go
// in, a [meter.Reading] or an error comes out, and nothing is remembered but
// what a [Reader] needs of a record and a judge of the lines before (package guard).
//
// A line is cleaned of parity bits and padding and cut into tokens (lex.go);
// words are looked up (words.go); each word is given to the number before or
// after it, in every way that makes sense (fields.go); and a number is what its
// words say. JSON objects (RFC 8259), sentences with an exclusive-or checksum in
// the manner of NMEA 0183 and answers in the manner of SCPI-1999 are read as
// well. No maker's name is in it. What the words cannot say a [Dialect] does.
//
// The package never guesses. A line with a word that it does not know, or that
// can be understood in two ways, is [meter.ErrNotReading]; of two numbers that
// nobody has named neither is a pH ([ErrUnnamed]), and a single one is only when
// it looks like one; a number outside MinPH to MaxPH is [meter.ErrImpossible].
// guard.Remedy says what to do about each.
//
// guard.Judge looks at the lines in their order: it keeps channels apart, passes
// calibration printouts over, and takes away a temperature that climbs, jumps or
// is none of a beaker, so that what uses the readings is never handed one.
//
// # What damage can be seen, and what cannot
//
// On a line with a checksum any single damaged byte is seen. On a line of
// consistent parity (7 data bits received as 8) any single flipped bit is seen.
// On a plain line these are always seen: a cut without a terminator, foreign
// bytes, two lines run together, a lost letter of a label or a word. These
// cannot be seen on one line alone:
//
//   - a digit that became another digit: "7.02" and "7.03" are both good lines;
//   - a digit that was lost or put in so that a number remains: "7.02" as "7.0",
//     "10.02" as "1.02"; a lost minus sign;
//   - a lost decimal mark or blank that joins two numbers into a possible one:
//     "7.02 25" as "7.0225";
//   - a tail lost before the terminator, when what is left is a shape of its
//     own: "pH 7.021 25.1 C" as "pH 7.02";
//   - a lost letter of a key in a JSON object, whose unknown keys mean nothing.
//
// A guard.Guard sees most of these as well, because it compares a line with the
// ones before it: the shape, the number of decimals, and the size of the step.
// What remains are digits that became others, and in JSON lost ones, by less
// than a jump: of lines "pH 7.02 25.1 C" with one random damage each, one in
// ten gives a false reading alone and one in 250 behind a guard (measured by
// TestAnyDamageWithoutAChecksum). Only parity or a checksum can show those.
package frame
