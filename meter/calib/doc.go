// Package calib is the arithmetic and the judgement of a calibration: what the
// standards are worth at a temperature, the slope and the offset that an
// electrode shows in them, whether that is good enough, and for how long. It
// is pure: no clock, no file, no port.
//
// A meter that sends mV is calibrated here: [Calibration.Apply] turns its mV
// into pH. A meter that sends only pH has its own calibration inside, which
// nothing outside can change; for it the same steps are a check, and the
// result says so ([Calibration.Checks]).
//
// Every limit carries what it rests on, in words: a document whose text was
// seen, common practice without a source, or a choice of this project. Nothing
// here claims that a standard requires a figure that was not seen in it.
//
// The electrode is taken to turn about pH 7, 0 mV: the slope follows the
// temperature by the Nernst equation, the offset does not. That is what the
// compensation of every meter assumes (common practice, no source).
package calib
