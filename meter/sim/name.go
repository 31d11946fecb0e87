package sim

import "fmt"

// SourcePrefix is what the journal calls a simulated bench: with the seed it can
// be put together again.
const SourcePrefix = "simulated bench, seed "

// SourceName is the source of the bench of a seed.
func SourceName(seed uint64) string { return fmt.Sprintf("%s%d", SourcePrefix, seed) }
