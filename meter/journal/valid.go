package journal

import "fmt"

// payloads lists which payloads are set, each under the kind it belongs to.
func (e *Event) payloads() map[Kind]bool {
	set := map[Kind]bool{}
	for k, ok := range map[Kind]bool{
		Started: e.Start != nil, Read: e.Reading != nil, LinkChange: e.Link != nil,
		Added: e.Added != nil, Undone: e.Undo != nil, Corrected: e.Correct != nil,
		Advised: e.Advice != nil, Calibrated: e.Calibration != nil,
		Remarked: e.Remark != nil, Gap: e.Gap != nil, Ended: e.End != nil,
	} {
		if ok {
			set[k] = true
		}
	}
	return set
}

// Known reports whether k is one of the kinds above; a journal of a later
// version may hold others, which are to be passed over.
func (k Kind) Known() bool {
	switch k {
	case Started, Read, BadLine, LinkChange, Added, Undone, Corrected, Confirmed,
		Advised, Calibrated, Remarked, Gap, Ended:
		return true
	}
	return false
}

// bare reports whether events of this kind have no payload.
func (k Kind) bare() bool { return k == BadLine || k == Confirmed }

// consistent says what is wrong between the kind of an event and its payload,
// or nothing. Kinds that are not known are not judged.
func (e *Event) consistent() string {
	if !e.Kind.Known() {
		return ""
	}
	set := e.payloads()
	if !e.Kind.bare() && !set[e.Kind] {
		return fmt.Sprintf("an event of kind %q without its payload", e.Kind)
	}
	for k := range set {
		if k != e.Kind {
			return fmt.Sprintf("an event of kind %q with the payload of %q", e.Kind, k)
		}
	}
	return ""
}
