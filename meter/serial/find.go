package serial

// FindError says that on no port a meter was found that could be read.
type FindError struct {
	Ports []string // what was found out about each
}

// Error names the ports and what was found out.
func (e *FindError) Error() string { return "serial: no meter found" }

// Remedy is what to try.
func (e *FindError) Remedy() string { return portsRemedy() }
