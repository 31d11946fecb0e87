package calib_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"example.org/halfdrop/meter/calib"
)

// What lies behind readings is weighed: by how much each suspicion is likelier than that
// all is right (ln). Each of the odds is in here, and what is thought of electrodes.
func TestOddsOfCauses(t *testing.T) {
	var rows []string
	add := func(what string, points []calib.Point, earlier []calib.Calibration) {
		rows = append(rows, what)
		for _, r := range calib.Weighed(points, earlier, noon) {
			if !strings.Contains(r, "-Inf") && !far(r) {
				rows = append(rows, "  "+r)
			}
		}
	}
	three := "4.01 7.00 10.01"
	add("three standards, sound", off(t, 0.985, 3, 25, three, 0, 0, 0), nil)
	add("three, poor electrode", off(t, 0.84, 45, 25, three, 0, 0.05, 0), nil)
	add("three, worn electrode", off(t, 0.93, 22, 25, three, 0, 0, 0.04), nil)
	add("two, at 20 °C", off(t, 0.98, -5, 20, "7.00 4.01", 0.03, 0), nil)
	add("two, at 32 °C", off(t, 0.95, -5, 32, "7.00 4.01", 0, 0), nil)
	add("two, 3 before", off(t, 0.965, 4, 22, "7.00 4.01", 0, 0), steady(t, 3, 0.98))
	blunt := off(t, 0.98, 2, 22, three, 0, 0, 0) // so badly read that the odds alone are left
	for i := range blunt {
		blunt[i].SD = 8
	}
	add("three, read to 8 pH", blunt, nil)
	byHand := off(t, 0.98, 0, 22, "7.00 4.01", 0, 0)
	for i := range byHand {
		byHand[i].TempByHand = true
	}
	add("two, temperature given by hand", byHand, nil)
	primary := off(t, 0.98, 0, 25, "6.86 3.78", 0, 0)
	add("two primary ones", primary, nil)
	restless := off(t, 0.98, 2, 22, three, 0, -0.3, 0)
	for _, hiss := range []float64{0.02, 0.3, 0.6, 5} {
		restless[0].Hiss, restless[1].Hiss, restless[2].Hiss = 0.2, hiss, 0.3
		add(fmt.Sprintf("7.00 too low, hiss %g", hiss), restless, nil)
	}
	restless[1].Hiss, restless[1].Restless = 0.3, true
	add("7.00 too low, not at rest", restless, nil)
	for _, by := range []float64{0, 0.15} {
		own := off(t, 1, 0, 22, "7.00 4.01", by, 0)
		for i := range own {
			ph := own[i].PH + []float64{by, 0}[i]
			own[i].MV, own[i].Shown = nil, &ph
		}
		add(fmt.Sprintf("a meter that shows %g too much in 7.00", by), own, nil)
	}
	swapped := off(t, 0.98, 2, 22, three, 0, 0, 0)
	swapped[0].MV, swapped[1].MV = swapped[1].MV, swapped[0].MV
	add("4.01 and 7.00 exchanged, of three", swapped, nil)
	add("7.00 and 4.01 exchanged, of two", off(t, -0.98, 174, 22, "7.00 4.01", 0, 0), nil)
	same := off(t, 0.98, 2, 22, three, 0, 0, 0)
	same[1].MV = same[0].MV
	add("twice in 4.01, of three", same, nil)
	add("the sign turned", off(t, -0.98, 2, 22, three, 0, 0, 0), nil)
	sameTable(t, "odds.txt", rows, 0.001, 0.1)
}

// far reports whether a suspicion is so unlikely that it plays no part.
func far(row string) bool {
	f := strings.Fields(row)
	x, err := strconv.ParseFloat(f[len(f)-1], 64)
	return err == nil && x < -40
}
