package main

// A calibration that is broken off, by the person or by what happens to line and
// computer, is kept beside the history from the first accepted standard on, a line
// an electrode, and offered when the same electrode is calibrated again.
