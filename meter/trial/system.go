package trial

// buffer is a buffer system with two reagents between which protons are
// titrated away: from the acid form up with base, or from the base form down
// with acid.
type buffer struct {
	name       string
	acid, base string  // reagents; empty when there is none on a shelf
	protons    float64 // between acid and base form
	low, high  float64 // protons taken from the acid form: where targets lie
}

// buffers are the systems of the benches. The ranges keep targets where the
// system buffers: the middle half of a step.
var buffers = []buffer{
	{"formate", "formic acid", "sodium formate", 1, 0.25, 0.75},
	{"acetate", "acetic acid", "sodium acetate", 1, 0.25, 0.75},
	{"succinate", "succinic acid", "disodium succinate", 2, 0.25, 1.75},
	{"citrate 1", "citric acid", "monosodium citrate", 1, 0.4, 0.9},
	{"citrate 2", "monosodium citrate", "disodium citrate", 1, 0.2, 0.8},
	{"citrate 3", "disodium citrate", "trisodium citrate", 1, 0.25, 0.75},
	{"phthalate", "potassium hydrogen phthalate", "", 1, 0.25, 0.75},
	{"cacodylate", "cacodylic acid", "sodium cacodylate", 1, 0.25, 0.75},
	{"MES", "MES", "MES sodium salt", 1, 0.25, 0.75},
	{"histidine", "L-histidine hydrochloride", "L-histidine", 1, 0.25, 0.75},
	{"Bis-Tris", "", "Bis-Tris", 1, 0.25, 0.75},
	{"ADA", "ADA", "ADA disodium salt", 2, 1.25, 1.75},
	{"imidazole", "imidazole hydrochloride", "imidazole", 1, 0.25, 0.75},
	{"PIPES", "PIPES sodium salt", "PIPES disodium salt", 1, 0.25, 0.75},
	{"phosphate", "monosodium phosphate", "disodium phosphate", 1, 0.25, 0.75},
	{"MOPS", "MOPS", "MOPS sodium salt", 1, 0.25, 0.75},
	{"HEPES", "HEPES", "HEPES sodium salt", 1, 0.25, 0.75},
	{"triethanolamine", "triethanolamine hydrochloride", "triethanolamine", 1, 0.25, 0.75},
	{"Tris", "Tris hydrochloride", "Tris", 1, 0.25, 0.75},
	{"Tricine", "Tricine", "", 1, 0.25, 0.75},
	{"TAPS", "TAPS", "", 1, 0.25, 0.75},
	{"borate", "boric acid", "", 1, 0.2, 0.7},
	{"CHES", "CHES", "", 1, 0.25, 0.75},
	{"glycine", "glycine", "", 1, 0.25, 0.7},
	{"carbonate", "sodium hydrogen carbonate", "sodium carbonate", 1, 0.25, 0.7},
	{"CAPS", "CAPS", "", 1, 0.2, 0.6},
}
