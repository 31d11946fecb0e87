package intent

// Answer is what came of one thing that a person wanted.
type Answer struct {
	To     Intent // what was asked; of no kind that was posted when ID is 0 and the run speaks by itself
	Text   string
	Failed bool  // it was refused, and the text says why
	Asks   bool  // it is done once it comes again with Sure set
	Slip   *Slip // what is asked about a typed value
}

// Slip is a typed value that looks like a slip of the finger. It is asked about
// before it is taken.
type Slip struct {
	Typed string
	Meant string // what was probably meant; empty when nobody knows
	Why   string
	Never bool // no pH can be what was typed
}

// Error is the question in words.
func (e *Slip) Error() string {
	if e.Meant == "" {
		return e.Typed + " " + e.Why
	}
	return e.Typed + " " + e.Why + ": was it " + e.Meant + "?"
}
