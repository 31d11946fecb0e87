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
// On a plain line these are always seen: a cut without a terminator, a lost
// label letter, separator or sign of a date, foreign bytes, two lines run
// together. These cannot be seen on one line alone:
//
//   - a digit that became another digit: "7.02" and "7.03" are both good lines;
//   - a digit that was lost, doubled or inserted so that a number remains:
//     "7.02" as "7.0", "10.02" as "1.02";
//   - a tail lost before the terminator, when what is left is a shape of its
//     own: "pH 7.021 25.1 C" as "pH 7.02";
//   - a lost decimal mark that leaves a number in range: "0.82 …" never, as a
//     pH must have a decimal, but "25.1 C" as "251 C" only because 251 °C is
//     absurd;
//   - a lost minus sign.
//
// A [Guard] sees most of these as well, because it compares a line with the
// ones before it: the shape, the number of decimals, and the size of the step.
// What remains are small changes of the trailing digits; only parity or a
// checksum can show those.
package frame
