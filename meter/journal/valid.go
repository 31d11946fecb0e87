package journal

import "fmt"

// held is whether the payload of a kind is set.
type held struct {
	kind Kind
	set  bool
}

func (e *Event) payloads() [18]held {
	return [...]held{
		{Started, e.Start != nil}, {Read, e.Reading != nil}, {LinkChange, e.Link != nil},
		{Added, e.Added != nil}, {Bottled, e.Bottle != nil}, {Undone, e.Undo != nil}, {Corrected, e.Correct != nil}, {Amended, e.Amend != nil},
		{Advised, e.Advice != nil}, {Calibrated, e.Calibration != nil},
		{Warmed, e.TempC != nil}, {Checking, e.Checking != nil}, {Checked, e.Checked != nil},
		{Remarked, e.Remark != nil}, {Noted, e.Note != nil}, {MadeUp, e.MadeUp != nil}, {Gap, e.Gap != nil}, {Ended, e.End != nil},
	}
}

// Known reports whether k is one of the kinds above; a journal of a later
// version may hold others, which are to be passed over.
func (k Kind) Known() bool {
	switch k {
	case Started, Read, BadLine, LinkChange, Added, Undone, Corrected, Confirmed,
		Advised, Calibrated, Remarked, Gap, Ended, Dosing, Declined, Immersed, Urged, Bottled, Amended, Noted, MadeUp, Warmed, Checking, Checked:
		return true
	}
	return false
}

// consistent says what is wrong between the kind of an event and its payload,
// or nothing. Kinds that are not known are not judged.
func (e *Event) consistent() string {
	if !e.Kind.Known() {
		return ""
	}
	for _, p := range e.payloads() {
		switch {
		case p.kind == e.Kind && !p.set:
			return fmt.Sprintf("an event of kind %q without its payload", e.Kind)
		case p.kind != e.Kind && p.set:
			return fmt.Sprintf("an event of kind %q with the payload of %q", e.Kind, p.kind)
		}
	}
	return ""
}
