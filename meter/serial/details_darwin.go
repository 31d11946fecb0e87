//go:build darwin && !cgo

package serial

// details is empty: the list of USB adapters needs cgo on macOS.
func details() map[string]Info { return nil }
