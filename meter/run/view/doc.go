// Package view is what a person is shown of a run: the View that the state answers a look
// with, and the words made of it.
//
// A View is data: it holds no state, asks nobody and reads no clock, so that a screen, the
// line protocol and the record draw or say the same from the same View. Times are seconds
// of the run, pH values are those of the calibration in use, spreads are one standard
// deviation. Sentence is what to do, Why is the reason; the other methods are parts that a
// front end places by itself.
package view
