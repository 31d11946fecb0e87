package tui

import (
	"strings"
	"unicode"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/tui/hand"
)

// typing reports whether keys are characters of a line.
func (k mode) typing() bool {
	return k == remarking || k == bottling || k == noting || k == explaining || k == checking || k == marking
}

// drafted are the lines whose words are kept when a person leaves them, with their keys.
var drafted = map[mode]string{remarking: "r", noting: "w", bottling: "+"}

// writes is a key that begins a line, with the words that were left in it.
func writes(k mode) func(*Model, string) tea.Cmd {
	return func(m *Model, _ string) tea.Cmd {
		m.mode, m.line = k, m.drafts[k]
		delete(m.drafts, k)
		return nil
	}
}

// longestLine is how many characters a remark may have.
const longestLine = 400

func (m *Model) pressInLine(key string) {
	switch key {
	case "enter":
		m.endLine(strings.TrimSpace(string(m.line)))
	case "esc", "ctrl+c":
		said := "nothing is recorded"
		if key, kept := drafted[m.mode]; kept && len(m.line) > 0 {
			m.drafts[m.mode] = m.line
			said += "; " + key + " has these words again"
		}
		m.mode = running
		m.take(hand.Say("%s", said))
	case "backspace":
		m.line = m.line[:max(len(m.line)-1, 0)]
	default:
		m.write([]rune(key))
	}
}

// write puts a character at the end of the line. The ends of lines and tabs that are pasted
// become a blank, so that the words on both sides stay apart.
func (m *Model) write(r []rune) {
	if len(r) != 1 || len(m.line) >= longestLine {
		return
	}
	switch {
	case unicode.IsPrint(r[0]):
		m.line = append(m.line, r[0])
	case unicode.IsSpace(r[0]) && len(m.line) > 0 && m.line[len(m.line)-1] != ' ':
		m.line = append(m.line, ' ')
	}
}

// endLine takes the line that was typed.
func (m *Model) endLine(text string) {
	was := m.mode
	bottle := was == bottling
	m.mode = running
	switch {
	case was == checking:
		m.take(hand.Check(intent.CheckOut, text))
	case was == explaining:
		m.take(hand.Explained(*m.reason, text))
	case was == marking:
		m.take(hand.Marked(*m.reason, text))
	case text == "" && was == noting:
		m.take(hand.Say("nothing is noted"))
	case was == noting:
		m.take(hand.Answer{Want: &intent.Intent{Kind: intent.Note, Text: text}})
	case text == "" && bottle:
		m.take(hand.Sorry("no bottle was named: type, for example, + NaOH 0.1 M Enter"))
	case text == "":
		m.take(hand.Sorry("an empty remark is not recorded"))
	case bottle:
		m.take(hand.Answer{Want: &intent.Intent{Kind: intent.Bottle, Text: text}})
	default:
		m.take(hand.Answer{Want: &intent.Intent{Kind: intent.Remark, Text: text}})
	}
}

// pressCheck begins a check of the electrode in standards; which ones is asked.
func (m *Model) pressCheck(string) tea.Cmd {
	if no := m.hand.CannotCheck(); no != "" {
		m.take(hand.Sorry("%s", no))
		return nil
	}
	m.mode, m.line = checking, nil
	return nil
}
