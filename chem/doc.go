// Package chem computes the pH of aqueous solutions: totals of acid–base
// systems and spectator ions, mixing, activity and the charge balance.
//
// pH is −log10 a(H⁺) on the molal scale. Activity coefficients are Davies'
// with 0.3 for ions and 1 for neutral species and zwitterions (by net charge);
// meant for 0–60 °C and ionic strengths to 0.5 mol/kg. Above that the Davies
// term is held at its value there, and a Result carries a flag and a wider
// spread. A solution is closed, or open to air of a given CO₂.
//
// Describe gives everything about one solution; Model, Composition and Solve
// are the fast way for many that share their systems.
//
// Incomplete: no ion pairing (magnesium, calcium, polynuclear borate), no
// mixed solvents, no volumes of mixing, no solids: what does not dissolve is
// not noticed here.
package chem
