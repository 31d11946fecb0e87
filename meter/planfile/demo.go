package planfile

import _ "embed"

// Demo is the built-in plan, in which a buffer is brought to a pH.
//
//go:embed demo.toml
var Demo []byte

// FindDemo is the built-in plan of a determination: a base against potassium
// hydrogen phthalate.
//
//go:embed find.toml
var FindDemo []byte
