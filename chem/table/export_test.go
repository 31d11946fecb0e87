package table

// ReadSystems and ReadReagents let a test hand in a damaged table.
var (
	ReadSystems  = func(b []byte) error { _, err := readSystems(b); return err }
	ReadReagents = func(b []byte) error { _, err := readReagents(b); return err }
	LoadNames    = func(b []byte) error { _, err := loadReagents(b, reagentsCSV); return err }
	MolarMass    = molarMass
	ReadTraits   = func(b []byte) error { _, err := readTraits(b); return err }
)

// ShortNames are all of them.
func ShortNames() (out []string) {
	for _, x := range shortNames() {
		out = append(out, x.name)
	}
	return out
}
