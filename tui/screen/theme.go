package screen

import (
	"strings"

	"github.com/charmbracelet/lipgloss"

	"example.org/halfdrop/tui/widget"
)

// tone is a colour for dark and light backgrounds, in true colour, of 256 and
// of 16. The hues are those of the palette of Okabe and Ito (2008) for readers
// with any colour vision, lightened or darkened for the background.
func tone(dark, light string, dark256, light256, dark16, light16 string) lipgloss.TerminalColor {
	return lipgloss.CompleteAdaptiveColor{
		Dark:  lipgloss.CompleteColor{TrueColor: dark, ANSI256: dark256, ANSI: dark16},
		Light: lipgloss.CompleteColor{TrueColor: light, ANSI256: light256, ANSI: light16},
	}
}

var (
	skyBlue    = tone("#56B4E9", "#0072B2", "74", "25", "14", "4")
	green      = tone("#3FC8A0", "#007A5A", "79", "29", "10", "2")
	vermillion = tone("#FF8A4C", "#B84300", "209", "130", "9", "1")
	purple     = tone("#DD93BC", "#98507A", "175", "96", "13", "5")
	yellow     = tone("#F0E442", "#7A6A00", "227", "94", "11", "3")
	silver     = tone("#B8BEC8", "#4A505A", "250", "239", "7", "0")
	grey       = tone("#8A8F98", "#5C626B", "245", "241", "8", "8")
)

// styles are the looks of the inks.
var styles = [widget.Inks]lipgloss.Style{
	widget.Plain:  lipgloss.NewStyle(),
	widget.Faint:  lipgloss.NewStyle().Foreground(grey),
	widget.Strong: lipgloss.NewStyle().Bold(true),
	widget.Act:    lipgloss.NewStyle().Foreground(skyBlue).Bold(true),
	widget.Rest:   lipgloss.NewStyle().Foreground(silver),
	widget.Good:   lipgloss.NewStyle().Foreground(green).Bold(true),
	widget.Warn:   lipgloss.NewStyle().Foreground(vermillion).Bold(true),
	widget.Alarm:  lipgloss.NewStyle().Foreground(vermillion).Reverse(true).Bold(true),
	widget.Aim:    lipgloss.NewStyle().Foreground(purple),
	widget.Model:  lipgloss.NewStyle().Foreground(skyBlue),
	widget.Band:   lipgloss.NewStyle().Foreground(grey),
	widget.Seen:   lipgloss.NewStyle().Foreground(yellow).Bold(true),
	widget.Input:  lipgloss.NewStyle().Foreground(yellow).Bold(true),
}

// painter gives text the look of an ink, as the terminal is at this moment.
// The control codes are taken from lipgloss once and not for every run.
func painter() func(widget.Ink, string) string {
	var before, after [widget.Inks]string
	for i := range styles {
		before[i], after[i], _ = strings.Cut(styles[i].Render("x"), "x")
	}
	return func(ink widget.Ink, text string) string { return before[ink] + text + after[ink] }
}
