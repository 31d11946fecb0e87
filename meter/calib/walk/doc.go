// Package walk leads a person through the standards of a calibration or of a check: into one
// after the other, until each reading is at rest or is asked about, also when it was broken
// off; what it hands over are the points that a calibration is judged by.
//
// Its tests stand beside those of calib, on one bench of simulated electrodes.
package walk
