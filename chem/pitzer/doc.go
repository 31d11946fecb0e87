// Package pitzer computes the activity coefficients of ions in mixtures, each ion its own.
//
// K. S. Pitzer, Activity Coefficients in Electrolyte Solutions, 2nd ed. (CRC Press 1991), ch. 3,
// eqs. 62–66, with unsymmetrical mixing (mixing.go) and the parameters of data/activity.csv, a
// source on every row; pairs of ions without parameters take those of their class, and PairOf
// says so. Molalities are in mol/kg of water; meant for 0–60 °C and ionic strengths to 3 mol/kg,
// and held at what they are at StrengthLimit beyond it.
//
// Single ions are put on the scale of pH by the convention for chloride of
// R. G. Bates & E. A. Guggenheim, Pure Appl. Chem. 1, 163 (1960):
// log γ(Cl⁻) = −A√I/(1 + 1.5√I), with a trace of chloride where there is none.
// Only pH and single ions depend on it; what is electrically neutral does not.
package pitzer
