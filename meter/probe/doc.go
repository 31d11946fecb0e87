// Package probe says where a reading of an electrode will end, with its spread, while it is
// still on its way: a bank of Kalman filters, each an electrode with other time constants.
//
// Begin with Tracker (tracker.go), which takes the readings and what was done to the
// beaker; Estimate (estimate.go) is what comes out. bank.go and node.go are the filters,
// lags.go the same for values that a person types; what a reading passes before them is the
// room below, sift. Times are in s, values in pH.
package probe
