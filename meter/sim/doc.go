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
// On request carbon dioxide gets in from the air above pH 8, the electrode
// drifts and is slower in the cold, drops hang on the tip, and the faults of
// Faults happen, each with its strength and from its time on.
//
// Instead of noise or time constants a bench can have a recorded electrode (Recorded):
// readings are what the chemistry gives plus what a real electrode had more, second by
// second, or each change is followed as a real one followed its step.
//
// Incomplete: carbon dioxide takes protons out of the balance but does not
// buffer; the electrode has one temperature with the beaker.
package sim
