// Package sim is a virtual beaker, dropper and electrode: what stands on the
// stir plate, with the errors that the person does not know.
//
// The beaker holds the composition that the true amounts give, by the same
// equilibrium model as everything else but with its own constants. Titrant
// spreads into the liquid round the electrode with one time constant (mixing
// acts on composition, so that a steep curve shows as one); the electrode then
// follows the pH there with one or two time constants, and the meter adds
// offset, slope, noise and rounding. All of it runs in simulated seconds and is
// the same for the same seed and the same calls.
//
// Incomplete: no uptake of CO₂, no drift, no faults of electrode or person yet.
package sim
