// Package frame turns what a meter sends into readings. It is pure: bytes go
// in, a [meter.Reading] or an error comes out, and nothing is remembered but
// what a [Guard] is told to remember.
//
// A line is cleaned of parity bits, cut into tokens and compared with a table
// of generic line shapes ([Shapes]). The shapes are those that instruments of
// many kinds use (common practice, no source: a label, a number, a unit, a
// temperature, a status word, a record with date and time), JSON objects
// (RFC 8259), sentences with an exclusive-or checksum in the manner of
// NMEA 0183, and answers in the manner of SCPI-1999. No maker's name is in it.
//
// The package never guesses. A line that fits no row is [meter.ErrNotReading];
// two bare numbers of which either could be the pH are refused as ambiguous; a
// number outside MinPH to MaxPH is [meter.ErrImpossible].
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
// A [Guard] sees most of these as well, because it compares a line with the
// ones before it: the shape, the number of decimals, and the size of the step.
// What remains are digits that became others, and in JSON lost ones, by less
// than a jump: of lines "pH 7.02 25.1 C" with one random damage each, one in
// ten gives a false reading alone and one in 250 behind a guard (measured by
// TestAnyDamageWithoutAChecksum). Only parity or a checksum can show those.
package frame
