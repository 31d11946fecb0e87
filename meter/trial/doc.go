// Package trial drives the coach and other strategies over many random virtual
// benches, second by second, and counts what became of the buffers.
//
// A bench is a plan, which is what the person believes, and a sim.Truth. Every
// strategy stands at the same bench with the same electrode and reads it once
// a second. Everything follows from the seed, whatever the number of workers.
package trial
