package standards

import (
	"errors"
	"fmt"
)

// ErrNoBracket says that no standards of the set lie on both sides.
var ErrNoBracket = errors.New("no standards of this set lie on both sides")

// chains are the standards of each set that are usually taken, by rising pH.
// With the technical ones 4.01 and 7.00 are taken for acidic aims, 7.00 and
// 10.01 for basic ones (common practice, no source).
var chains = map[Set][]string{
	Technical:    {"4.01", "7.00", "10.01"},
	Technical701: {"4.01", "7.01", "10.01"},
	Technical20:  {"4.00", "7.00", "9.00"},
	Primary:      {"1.68", "4.01", "6.86", "9.18"},
}

// bracketMargin is how near an aim may come to the standard that two brackets
// share before both are used, pH (choice).
const bracketMargin = 0.15

// Bracketing are the standards of a set, by rising pH, that enclose a pH: two,
// or three when it lies next to the middle one. With ErrNoBracket they are the
// two nearest ones.
func Bracketing(set Set, ph float64) ([]Standard, error) {
	chain := Chain(set, ph)
	if len(chain) < 2 {
		return nil, fmt.Errorf("calib: %w: set %q", ErrNoStandard, set)
	}
	low, high := 0, len(chain)-1
	for i, s := range chain {
		if s.Nominal <= ph-bracketMargin {
			low = i
		}
		if s.Nominal >= ph+bracketMargin && i < high {
			high = i
		}
	}
	if high == low {
		high = min(low+1, len(chain)-1)
		low = high - 1
	}
	out := chain[low : high+1]
	if !(ph >= out[0].Nominal && ph <= out[len(out)-1].Nominal) {
		if ph > out[0].Nominal {
			out = chain[len(chain)-2:]
		} else {
			out = chain[:2]
		}
		return out, fmt.Errorf("calib: %w of pH %.2f: %s", ErrNoBracket, ph, set.Describe())
	}
	return out, nil
}

// Chain are the usual standards of a set; the primary one of 10.01 takes the
// place of 9.18 for an aim above that.
func Chain(set Set, ph float64) []Standard {
	var out []Standard
	for _, name := range chains[set] {
		if set == Primary && name == "9.18" && ph > 9.18-bracketMargin {
			name = "10.01"
		}
		for _, s := range Of(set) {
			if s.Name == name {
				out = append(out, s)
			}
		}
	}
	return out
}
