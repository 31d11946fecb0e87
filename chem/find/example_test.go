package find_test

import (
	"fmt"

	"example.org/halfdrop/chem/find"
)

// Gran's line before the equivalence point of a weak acid: V · 10^(−pH) falls in
// proportion to Vₑ − V (G. Gran, Analyst 77, 661 (1952); page from memory). The readings are
// those that OpenStax Chemistry 2e, table 14.4 (CC BY), has for 25.00 mL of 0.100 M acetic
// acid with 0.100 M NaOH, rounded to 0.01, whose equivalence point is 25 mL. By hand, from
// the readings at 15 and 20 mL: 15 · 10^(−4.92) = 1.803·10⁻⁴ and 20 · 10^(−5.35) = 0.893·10⁻⁴,
// a line whose zero is at 20 + 5 · 0.893/(1.803 − 0.893) = 24.9 mL.
func ExampleClassical() {
	book := []find.Dot{{ML: 5, PH: 4.14}, {ML: 10, PH: 4.57}, {ML: 15, PH: 4.92}, {ML: 20, PH: 5.35}, {ML: 22, PH: 5.61},
		{ML: 24, PH: 6.13}, {ML: 24.5, PH: 6.44}, {ML: 24.9, PH: 7.14}, {ML: 25, PH: 8.72}, {ML: 25.1, PH: 10.30},
		{ML: 25.5, PH: 11.00}, {ML: 26, PH: 11.29}, {ML: 28, PH: 11.75}, {ML: 30, PH: 11.96}}
	c := find.Classical(book, find.Near{ML: 25, Start: 25}, false)
	fmt.Printf("Gran before %.1f mL, after %.1f mL; second difference %.2f mL\n", c.Before, c.After, c.Second)
	// Output:
	// Gran before 25.0 mL, after 25.0 mL; second difference 25.00 mL
}
