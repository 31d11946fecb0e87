package table

import "testing"

// What the first name that is looked up waits for.
func BenchmarkReadReagents(b *testing.B) {
	for b.Loop() {
		if _, err := readReagents(reagentsCSV); err != nil {
			b.Fatal(err)
		}
	}
}
