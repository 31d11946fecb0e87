package widget

import (
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
)

// colour is one colour of the program on a ground: in true colour, of 256 and
// of 16.
type colour struct{ full, of256, of16 string }

// tone is a colour on dark and on light grounds. The hues are those of the
// palette of Okabe and Ito (2008) for readers with any colour vision, lightened
// or darkened until they read: TestContrast holds 4.5 to 1 (WCAG 2.2, success
// criterion 1.4.3) on black and dark grey, on white and cream. Of 16 colours few
// reach that, fewer still where bold makes them bright, so several tones share one
// or have none but that of the terminal's text; words and shapes tell them apart.
type tone struct{ dark, light colour }

var (
	skyBlue    = tone{colour{"#56B4E9", "74", "14"}, colour{"#005F96", "24", ""}}
	green      = tone{colour{"#3FC8A0", "79", "10"}, colour{"#00664B", "23", ""}}
	vermillion = tone{colour{"#FF9A62", "215", "11"}, colour{"#A63D00", "124", ""}}
	purple     = tone{colour{"#E3A3C8", "182", "10"}, colour{"#86406A", "89", "4"}}
	yellow     = tone{colour{"#F0E442", "227", "15"}, colour{"#665800", "58", ""}}
	silver     = tone{colour{"#C4CAD3", "252", "7"}, colour{"#42484F", "238", ""}}
	grey       = tone{colour{"#A6ABB4", "248", "7"}, colour{"#565C65", "240", ""}}
)

// style is the look of an ink: a colour or none, and what is left without it.
type style struct {
	tone    *tone
	bold    bool
	reverse bool
}

// styles are the looks of the inks.
var styles = [Inks]style{
	Plain:  {},
	Faint:  {tone: &grey},
	Strong: {bold: true},
	Act:    {tone: &skyBlue, bold: true},
	Rest:   {tone: &silver},
	Good:   {tone: &green, bold: true},
	Warn:   {tone: &vermillion, bold: true},
	Alarm:  {tone: &vermillion, bold: true, reverse: true},
	Aim:    {tone: &purple},
	Model:  {tone: &skyBlue},
	Band:   {tone: &grey},
	Seen:   {tone: &yellow, bold: true},
	Input:  {tone: &yellow, bold: true},
}

// emphasis is what is drawn where there are no colours.
var emphasis bool

// KeepEmphasis has bold and reverse drawn on a terminal that is to show no
// colours (NO_COLOR); without it a screen without colours is plain text. It is
// set before the first screen is drawn.
func KeepEmphasis(on bool) { emphasis = on }

// codes are the control sequences that go before and after a text.
func (s style) codes() (before, after string) {
	if lipgloss.ColorProfile() == termenv.Ascii {
		switch {
		case !emphasis || !s.bold && !s.reverse:
			return "", ""
		case s.reverse:
			return "\x1b[1;7m", "\x1b[0m"
		}
		return "\x1b[1m", "\x1b[0m"
	}
	st := lipgloss.NewStyle().Bold(s.bold).Reverse(s.reverse)
	if t := s.tone; t != nil {
		c := t.light
		if lipgloss.HasDarkBackground() {
			c = t.dark
		}
		st = st.Foreground(lipgloss.CompleteColor{TrueColor: c.full, ANSI256: c.of256, ANSI: c.of16})
	}
	before, after, _ = strings.Cut(st.Render("x"), "x")
	return before, after
}

// painter gives text the look of an ink, as the terminal is at this moment.
// The control codes are made once and not for every run.
func painter() func(Ink, string) string {
	var before, after [Inks]string
	for i := range styles {
		before[i], after[i] = styles[i].codes()
	}
	return func(ink Ink, text string) string { return before[ink] + text + after[ink] }
}

// Text is a text in the look of an ink, as the terminal is at this moment.
func Text(ink Ink, text string) string {
	before, after := styles[ink].codes()
	return before + text + after
}

// Painted is the whole sheet, each run of one ink in its look.
func (s *Sheet) Painted() string { return strings.Join(s.PaintedLines(), "\n") }

// PaintedLines are its rows.
func (s *Sheet) PaintedLines() []string { return s.Lines(painter()) }

// Ink says what a piece of text is about; a theme gives it its look. No state
// may be told by ink alone.
type Ink uint8

const (
	Plain  Ink = iota // ordinary text
	Faint             // what may be overlooked: axes, units, hints
	Strong            // ordinary text that matters
	Act               // belongs to an addition to be made
	Rest              // belongs to waiting
	Good              // belongs to an aim that is reached
	Warn              // belongs to something to look at
	Alarm             // a failure that must not be missed
	Aim               // the aim and its tolerance
	Model             // what is predicted
	Band              // the spread of what is predicted
	Seen              // what was measured
	Input             // what is being typed

	Inks = int(Input) + 1 // how many there are
)
