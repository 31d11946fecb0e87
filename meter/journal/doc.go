// Package journal is the event log of a run: append-only JSON Lines in which
// every line carries a hash over the line before it, so that a change shows.
// Nothing is ever rewritten: an undo is an event.
//
// # The file
//
// UTF-8, one JSON object a line, each line ended by one line feed (0x0A) and
// nothing else. The keys stand in the order seq, at, t, kind, the payload, raw,
// raw_hex, why, sum; a reader must not rely on the order of any key but the last and
// must pass over keys it does not know. The first line is the start event with
// the version of the format. A line counts once its line feed is on the file.
//
// # The sum
//
// The last 42 bytes of every line, without its line feed, are
//
//	,"sum":"0123456789abcdef0123456789abcdef"}
//
// with 32 lower-case hexadecimal digits. They are the first 32 digits of
//
//	SHA-256( previous sum · line )
//
// where the previous sum is the 32 digits of the line before, as ASCII text
// (nothing for the first line), the line is the bytes of this line from its
// first brace up to but not including those last 42 bytes, and · puts them end
// to end. In a shell, for the first line of a file:
//
//	head -n 1 run.jsonl | tr -d '\n' | head -c -42 | sha256sum | head -c 32
//
// The chain shows a changed, lost, added or moved line. It cannot show that
// whole lines were cut off the end, nor stop somebody from computing it anew:
// for that, keep the last sum, which Check reports, in another place.
//
// # Bytes that are not text
//
// What a meter sends need not be UTF-8. When it is not, raw holds it with each
// bad byte replaced by U+FFFD and raw_hex all of its bytes in hexadecimal; on
// reading, Event.Raw is what was received, byte for byte.
//
// # What is promised
//
// An event that Append has accepted is on the file; if its kind is Durable it
// has been synced to the disk as well. One Writer holds a file at a time. A
// line torn by a crash is set aside by Resume in a second file, never dropped.
package journal
