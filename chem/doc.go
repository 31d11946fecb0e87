// Package chem computes the pH of aqueous solutions: totals of acid–base
// systems and spectator ions, mixing, activity and the charge balance.
//
// pH is −log10 a(H⁺) on the molal scale. Activity coefficients are Davies'
// with 0.3 for ions and 1 for neutral species and zwitterions (by net charge);
// meant for 0–60 °C and ionic strengths to 0.5 mol/kg.
//
// Incomplete: no ion pairing, no mixed solvents, no volumes of mixing.
package chem
