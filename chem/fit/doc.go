// Package fit says what was titrated in a curve that came without a plan: which
// acids, how much of them, where the ends are, each with its spread, or that the
// curve does not tell.
//
// A curve is fitted as a mixture of acids of one proton each, n_i mol with a
// constant pK_i, and an excess of strong base or acid. An acid of several protons
// shows as several of them (for separate steps the two descriptions are the same;
// close ones come out a little apart). At a point of the curve
//
//	±C·V + excess + ([H⁺] − [OH⁻])·(V₀ + V) − Σ n_i/(1 + 10^(pK_i − pH)) = 0,
//
// which is linear in everything but the constants and needs no root finding. That
// the charges of a solution add up to nothing is the whole of it; see J. N. Butler,
// Ionic Equilibrium, Addison-Wesley 1964 (from memory, no page).
//
// Constants are apparent: at the ionic strength of the sample, with pH on the
// scale of the meter after its shift. What is not said, the strength of the
// titrant or the volume of the sample, is unknown to the fit as well, and the
// spreads are as wide as that makes them.
//
// Incomplete: gases, precipitates and complexes are not in it.
package fit
