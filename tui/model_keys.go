package tui

import (
	"time"

	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/tui/hand"
	tea "github.com/charmbracelet/bubbletea"
)

func (m *Model) pressEnter(string) tea.Cmd {
	if !m.hand.Any {
		m.take(hand.Sorry("the run has not started yet"))
		return nil
	}
	m.take(m.hand.Enter())
	return nil
}

func (m *Model) pressDigit(key string) tea.Cmd {
	m.take(m.hand.Digit([]rune(key)[0]))
	return nil
}

func (m *Model) pressHelp(string) tea.Cmd {
	m.mode, m.page = helping, 0
	return nil
}

func (m *Model) pressBell(string) tea.Cmd {
	m.bell = !m.bell
	if m.bell {
		m.ring()
		m.take(hand.Say("bell on: it rings at ADD, DONE and CHECK"))
	} else {
		m.take(hand.Say("bell off"))
	}
	return nil
}

func (m *Model) pressQuit(string) tea.Cmd {
	if !m.hand.Any {
		return m.end()
	}
	m.mode, m.open = asking, ""
	return nil
}

func (m *Model) pressInQuestion(key string) tea.Cmd {
	switch key {
	case "y", "Y", "ctrl+c":
		return m.end()
	case "n", "N", "esc":
		m.mode = running
		m.hand.Closed(key)
		m.take(hand.Say("the run continues"))
		return nil
	}
	m.message, m.wrong = "y or n", true
	return nil
}

// end closes the run and waits for its last view.
func (m *Model) end() tea.Cmd {
	m.mode = ending
	m.runner.Post(intent.Intent{Kind: intent.End, Text: outcome(m.hand.View)})
	return tea.Tick(patience, func(time.Time) tea.Msg { return gone{} })
}
