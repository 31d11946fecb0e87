package find

import "errors"

// Errors of a bench or a history that nothing can be computed for.
var (
	errNoBalance = errors.New("find: the charges of a reading do not balance for any contents of a beaker")
	errSingular  = errors.New("find: the readings contradict one another too much to compute anything")
	ErrNoPoint   = errors.New("no equivalence point within reach")
)
