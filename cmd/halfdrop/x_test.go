package main

import (
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/sim"
	"fmt"
	"os"
	"testing"
)

func TestX(t *testing.T) {
	data, _ := os.ReadFile("demo.toml")
	p, err := decodePlan("demo", data)
	if err != nil {
		t.Fatal(err)
	}
	s, err := recipe.Compile(p)
	if err != nil {
		t.Fatal(err)
	}
	var in, over, adds int
	var sec float64
	N := 40
	for i := range N {
		d := driveFilter(t, p, s, sim.DefaultTruth(s, uint64(i+1)), i == 0 || i == 1)
		if d.in {
			in++
		}
		if d.over {
			over++
		}
		adds += d.adds
		sec += d.seconds
		if !d.in || d.over || len(d.checks) > 0 {
			fmt.Println(i+1, d.in, d.over, d.adds, d.last.Do, d.last.Why, d.checks)
		}
	}
	fmt.Println("in", in, "over", over, "adds", float64(adds)/float64(N), "sec", sec/float64(N))
}
