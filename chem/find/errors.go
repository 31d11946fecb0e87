package find

import "errors"

// Errors of a bench or a history that nothing can be computed for.
var (
	errNoBalance = errors.New("find: the charges of a reading do not balance in anything that a beaker holds")
	errSingular  = errors.New("find: the readings contradict one another beyond computing")
	ErrNoPoint   = errors.New("no equivalence point within reach")
)
