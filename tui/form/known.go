package form

import (
	"fmt"
	"strconv"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/shelf"
)

// knowBottles gives the bottles of a demand that have a name the strength that was found
// or stated last, and says so.
func knowBottles(d *buffer.Demand, now time.Time) (words []string, err error) {
	var book bench.Book
	read := false
	for i := range d.Bottles {
		b := &d.Bottles[i]
		if b.Known == "" {
			continue
		}
		if !read {
			path, err := shelf.BenchFile()
			if err != nil {
				return words, err
			}
			if book, err = shelf.ReadBench(path); err != nil {
				return words, err
			}
			read = true
		}
		x, ok := book.Strength(b.Known, float64(b.Molar))
		if !ok {
			words = append(words, fmt.Sprintf("of bottle %s no strength near %g mol/L was found or stated; its label counts", b.Known, float64(b.Molar)))
			continue
		}
		sd, _, _ := x.Aged(now)
		words = append(words, fmt.Sprintf("bottle %s is %.5g mol/L, ± %.2g %% by now (found or stated on %s)", b.Known, x.Molar, sd, x.At.Format(time.DateOnly)))
		exact, _ := strconv.ParseFloat(fmt.Sprintf("%.5g", x.Molar), 64)
		b.Molar = chem.Molarity(exact) // as it is said
	}
	return words, nil
}
