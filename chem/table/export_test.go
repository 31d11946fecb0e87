package table

// ReadSystems and ReadReagents let a test hand in a damaged table.
var (
	ReadSystems  = func(b []byte) error { _, err := readSystems(b); return err }
	ReadReagents = func(b []byte) error { _, err := readReagents(b); return err }
	ReadTraits   = func(b []byte) error { _, err := readTraits(b); return err }
)
