package linalg_test

import (
	"fmt"

	"example.org/halfdrop/chem/linalg"
)

// A = L Lᵀ, an example of many textbooks (from memory), in whole numbers:
//
//	 4  12 −16       2           2  6 −8
//	12  37 −43   =   6  1     ·     1  5
//	−16 −43 98      −8  5  3           3
func ExampleCholesky() {
	a := []float64{4, 12, -16, 12, 37, -43, -16, -43, 98}
	fmt.Println(linalg.Cholesky(a, 3), a[0], a[3:5], a[6:])
	fmt.Println(linalg.Cholesky([]float64{1, 2, 2, 1}, 2)) // eigenvalues 3 and −1
	// Output:
	// true 2 [6 1] [-8 5 3]
	// false
}
