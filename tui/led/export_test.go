package led

import (
	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/tui/terminal"
)

// NewCalibrating is the program model of a calibration.
func NewCalibrating(press func(string)) tea.Model {
	return calibration(nil, &calibrating{press: press}, terminal.Options{}.Set(func(string) string { return "" }))
}
