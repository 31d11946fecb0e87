package trial

import (
	"math"
	"math/rand/v2"
)

// buffer is a buffer system with two reagents between which protons are
// titrated away: from the acid form up with base, or from the base form down
// with acid.
type buffer struct {
	name       string
	acid, base string  // reagents; empty when there is none on a shelf
	protons    float64 // between acid and base form
	low, high  float64 // protons taken from the acid form: where targets lie
}

// taken draws how many protons have left the acid form at the target: evenly
// in pH within one step, evenly in protons over more.
func (b buffer) taken(r *rand.Rand) float64 {
	step := math.Floor(b.low)
	if b.high > step+1 {
		return b.low + (b.high-b.low)*r.Float64()
	}
	logit := func(f float64) float64 { return math.Log(f / (1 - f)) }
	low, high := logit(b.low-step), logit(b.high-step)
	return step + 1/(1+math.Exp(-low-(high-low)*r.Float64()))
}

// buffers are the systems of the benches. The ranges keep targets where the
// system buffers: about one pH unit to either side of a pKa.
var buffers = []buffer{
	{"formate", "formic acid", "sodium formate", 1, 0.1, 0.9},
	{"acetate", "acetic acid", "sodium acetate", 1, 0.1, 0.9},
	{"succinate", "succinic acid", "disodium succinate", 2, 0.1, 1.9},
	{"citrate 1", "citric acid", "monosodium citrate", 1, 0.3, 0.9},
	{"citrate 2", "monosodium citrate", "disodium citrate", 1, 0.1, 0.9},
	{"citrate 3", "disodium citrate", "trisodium citrate", 1, 0.1, 0.9},
	{"phthalate", "potassium hydrogen phthalate", "", 1, 0.1, 0.9},
	{"cacodylate", "cacodylic acid", "sodium cacodylate", 1, 0.1, 0.9},
	{"MES", "MES", "MES sodium salt", 1, 0.1, 0.9},
	{"histidine", "L-histidine hydrochloride", "L-histidine", 1, 0.1, 0.9},
	{"Bis-Tris", "", "Bis-Tris", 1, 0.1, 0.9},
	{"ADA", "ADA", "ADA disodium salt", 2, 1.1, 1.9},
	{"imidazole", "imidazole hydrochloride", "imidazole", 1, 0.1, 0.9},
	{"PIPES", "PIPES sodium salt", "PIPES disodium salt", 1, 0.1, 0.9},
	{"phosphate", "monosodium phosphate", "disodium phosphate", 1, 0.1, 0.9},
	{"MOPS", "MOPS", "MOPS sodium salt", 1, 0.1, 0.9},
	{"HEPES", "HEPES", "HEPES sodium salt", 1, 0.1, 0.9},
	{"triethanolamine", "triethanolamine hydrochloride", "triethanolamine", 1, 0.1, 0.9},
	{"Tris", "Tris hydrochloride", "Tris", 1, 0.1, 0.9},
	{"Tricine", "Tricine", "", 1, 0.1, 0.9},
	{"TAPS", "TAPS", "", 1, 0.1, 0.9},
	{"borate", "boric acid", "", 1, 0.1, 0.9},
	{"CHES", "CHES", "", 1, 0.1, 0.9},
	{"glycine", "glycine", "", 1, 0.1, 0.9},
	{"carbonate", "sodium hydrogen carbonate", "sodium carbonate", 1, 0.1, 0.9},
	{"CAPS", "CAPS", "", 1, 0.1, 0.75},
}
