package run

// Giving is an addition of which the drops fall one by one into a simulated beaker.
type Giving struct {
	Titrant string
	Drops   float64
	Fallen  float64
}
