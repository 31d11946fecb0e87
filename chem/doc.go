// Package chem computes the pH of aqueous solutions: totals of acid–base
// systems and strong ions, mixing, activity and the charge balance.
//
// pH is −log10 a(H⁺) on the molal scale, single ions after the convention of
// Bates and Guggenheim. Every form has an activity coefficient of its own, by
// Pitzer's equations (room pitzer); pairs of ions without parameters take
// those of their class. Meant for 0–60 °C and ionic
// strengths to 3 mol/kg; above 6 the coefficients are held at their values
// there. A solution is closed, or open to air of a given CO₂.
//
// Model, Composition and Solve compute many that share their systems, fast; a Medium, held,
// makes charge linear in every amount: that is what the coach works with. What is asked of one
// solution, its spread too, is room solved.
//
// Metal ions and ligands form complexes, boric acid polyborates; sodium and potassium
// pair with anions in the activity model only. Salts that come out stay in the solution
// until they are asked for (room solved).
//
// Incomplete: no mixed solvents, no volumes of mixing, no solubility of what is no ion.
package chem
