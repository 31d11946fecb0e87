package sim

import (
	"fmt"
	"time"
)

// SourcePrefix is what the journal calls a simulated bench: with the seed it can
// be put together again.
const SourcePrefix = "simulated bench, seed "

// SourceName is the source of the bench of a seed.
func SourceName(seed uint64) string { return fmt.Sprintf("%s%d", SourcePrefix, seed) }

// DrawnSeed is the seed of a bench for which nobody asks for one.
func DrawnSeed() uint64 { return uint64(time.Now().UnixNano())%1e6 + 1 }
