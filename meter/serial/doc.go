// Package serial is the line to the meter: it lists serial ports, opens one as a
// [meter.Source] that gets a lost line back by itself, and finds the port and
// the speed of a meter that nobody has described. It is the only package that
// imports the port library. A serial server on the network (raw TCP, tcp:// or
// socket://) and standard input are ports as well, with the same states; RFC 2217
// is not spoken, and a server that speaks Telnet is told from a meter.
//
// What a Source does about the faults of a line:
//
//   - the first line after opening may be the tail of one: it is passed over,
//     unless the line was silent before it;
//   - a line that breaks off for a second is dropped with its rest;
//   - the echo of a query is dropped;
//   - a line that is no reading, is in another form than the ones before or
//     jumps impossibly (see guard.Judge) is reported as a bad line; one that
//     belongs to what this meter sends, such as the lines of a printed record,
//     only the first times;
//   - nothing readable for the quiet time: meter.Quiet, with the likely cause,
//     a wrong speed among them;
//   - a line that breaks: meter.Lost, then open again by name, or by the
//     identity of the USB adapter when it came back under another name;
//   - a receiver that lets it wait: old input is thrown away instead of being
//     stamped with a time that is not its own.
package serial
