// Package led is a screen on which a person is led, through a calibration or through
// learning a meter: a state, the function that draws it, its keys, and a Leader who says
// what comes next.
package led
