package widget

// Ink says what a piece of text is about; a theme gives it its look. No state
// may be told by ink alone.
type Ink uint8

const (
	// Plain is ordinary text.
	Plain Ink = iota
	// Faint is what may be overlooked: axes, units, hints.
	Faint
	// Strong is ordinary text that matters.
	Strong
	// Act belongs to an addition to be made.
	Act
	// Rest belongs to waiting.
	Rest
	// Good belongs to an aim that is reached.
	Good
	// Warn belongs to something to look at.
	Warn
	// Alarm is a failure that must not be missed.
	Alarm
	// Aim is the aim and its tolerance.
	Aim
	// Model is what is predicted.
	Model
	// Band is the spread of what is predicted.
	Band
	// Seen is what was measured.
	Seen
	// Input is what is being typed.
	Input

	// Inks is how many there are.
	Inks = int(Input) + 1
)
