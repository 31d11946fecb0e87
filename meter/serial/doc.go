// Package serial is the serial port: it lists ports, opens one as a
// [meter.Source] that gets a lost line back by itself, and finds the port and
// the speed of a meter that nobody has described. It is the only package that
// imports the port library.
//
// What a Source does about the faults of a line:
//
//   - the first line after opening may be the tail of one: it is passed over,
//     unless the line was silent before it;
//   - a line that breaks off for a second is dropped with its rest;
//   - the echo of a query is dropped;
//   - a line that is no reading, is in another form than the ones before or
//     jumps impossibly (see frame.Guard) is reported as a bad line;
//   - nothing readable for the quiet time: meter.Quiet, with the likely cause,
//     a wrong speed among them;
//   - a line that breaks: meter.Lost, then open again by name, or by the
//     identity of the USB adapter when it came back under another name;
//   - a receiver that lets it wait: old input is thrown away instead of being
//     stamped with a time that is not its own.
package serial
