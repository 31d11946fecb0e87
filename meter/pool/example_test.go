package pool_test

import (
	"fmt"

	"example.org/halfdrop/meter/pool"
)

// Four repeats. By hand: the mean is 0.4054/4 = 0.10135; the squares of the differences
// from it, in 10⁻⁴, are 1.5² + 0.5² + 4.5² + 5.5² = 53, so that s = √(53/3)·10⁻⁴ = 0.00042;
// with Student's t of three degrees of freedom, 3.182 (any table), the mean is uncertain by
// 3.182 · 0.00042/√4 = 0.00067. The farthest, 0.1019, lies 5.5/4.2 = 1.31 s away, and
// Grubbs' limit of four is 1.481 (ISO 5725-2, table 5, from memory).
func ExampleRepeats() {
	p, err := pool.Repeats([]pool.Value{{Value: 0.1012}, {Value: 0.1014}, {Value: 0.1009}, {Value: 0.1019}}, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.5f ± %.5f, s %.5f\n", p.Mean, (p.High-p.Low)/2, p.SD)
	fmt.Printf("G %.2f of %.3f, an outlier: %t\n", p.G, p.Critical, p.Outlier())
	// Output:
	// 0.10135 ± 0.00067, s 0.00042
	// G 1.31 of 1.481, an outlier: false
}
