// Package spelling tells how far two words are apart.
package spelling

// Slips is how many letters have to be changed, added, left out or exchanged with their
// neighbour to make one word of another (optimal string alignment: the distance of
// F. J. Damerau, Commun. ACM 7, 171, 1964, with each letter touched once; from memory).
func Slips[E comparable](a, b []E) int {
	var before []int
	prev := make([]int, len(b)+1)
	for j := range prev {
		prev[j] = j
	}
	for i := range a {
		row := make([]int, len(b)+1)
		row[0] = i + 1
		for j := range b {
			cost := 1
			if a[i] == b[j] {
				cost = 0
			}
			row[j+1] = min(prev[j]+cost, prev[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, prev = prev, row
	}
	return prev[len(b)]
}
