package tui

import (
	"math"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/tui/hand"
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/pick"
	"example.org/halfdrop/tui/screen/menu"
)

// openTrace shows the readings so far, to be pointed at.
func (m *practising) openTrace() {
	switch {
	case len(m.p.Faults) == 0:
		m.take(hand.Sorry("there is no fault to name in this exercise"))
		return
	case len(m.past.points) == 0:
		m.take(hand.Sorry("nothing has been read yet"))
		return
	}
	t := m.past.trace(m.real)
	t.Title, t.Facts, t.Set = "What shows it?", "a reading or an addition; the run continues", m.set
	t.Keys = []keyrow.Key{{Name: "← →", Short: "reading"}, {Name: "Tab", Short: "addition"}, {Name: "Enter", Short: "this one"}, keyrow.More, {Name: "Esc", Short: "back"},
		{Name: "+ -", Short: "closer, wider"}, {Name: "n", Short: "name without", Does: "name a fault without pointing at what shows it"}}
	m.trace = &t
}

// pressInTrace moves the cursor, or takes what it points at.
func (m *practising) pressInTrace(key string) {
	t := m.trace
	if t == nil {
		return
	}
	switch key {
	case "left", "h":
		t.Step(-1)
	case "right", "l":
		t.Step(1)
	case "pgup", "shift+left":
		t.Step(-20)
	case "pgdown", "shift+right":
		t.Step(20)
	case "home":
		t.Step(-len(t.Points))
	case "end":
		t.Step(len(t.Points))
	case "tab", "down":
		t.StepDose(1)
	case "shift+tab", "up":
		t.StepDose(-1)
	case "+", "=":
		t.Span = spanAt(t.Span, -1)
	case "-":
		t.Span = spanAt(t.Span, 1)
	case "enter":
		m.openNames()
	case "n":
		t.Cursor = math.NaN()
		m.openNames()
	default:
		if pick.Leaves(key) {
			m.trace = nil
			m.take(hand.Say("nothing was named"))
		}
	}
}

// pointsAt says what was pointed at.
func (m *practising) pointsAt() string {
	if m.trace.OnDose {
		return "by the addition of " + phrase.Watch(m.trace.Cursor)
	}
	return "by the reading of " + phrase.Watch(m.trace.Cursor)
}

func (m *practising) openNames() {
	facts := "no evidence: earns little; a wrong one costs"
	if !math.IsNaN(m.trace.Cursor) {
		facts = m.pointsAt() + "; a wrong name costs"
	}
	m.typed = 0
	m.naming = &menu.Menu{Title: "What is wrong?", Facts: facts, Rows: m.p.Faults, Set: m.set,
		Keys: []keyrow.Key{{Name: "↑ ↓", Short: "choose"}, {Name: "Enter", Short: "it is this"}, keyrow.More, {Name: "Esc", Short: "back"}}}
}

func (m *practising) pressInNames(key string) {
	if m.naming == nil {
		return
	}
	m.typed = pick.ToRow(m.naming, m.typed, key)
	switch {
	case pick.Steer(m.naming, key):
	case key == "enter" && len(m.p.Ways) > 0 && !math.IsNaN(m.trace.Cursor):
		m.typed = 0
		m.how = &menu.Menu{Title: "How does it show there?", Facts: m.pointsAt(), Rows: m.p.Ways, Set: m.set,
			Keys: []keyrow.Key{{Name: "↑ ↓", Short: "choose"}, {Name: "Enter", Short: "like this"}, keyrow.More, {Name: "Esc", Short: "back"}}}
	case key == "enter":
		m.name(-1)
	case pick.Leaves(key):
		m.naming = nil
		if math.IsNaN(m.trace.Cursor) {
			m.trace.Step(len(m.trace.Points))
		}
	}
}

// pressInWays takes how the fault shows where it was pointed at.
func (m *practising) pressInWays(key string) {
	m.typed = pick.ToRow(m.how, m.typed, key)
	switch {
	case pick.Steer(m.how, key):
	case key == "enter":
		m.name(m.how.At)
	case pick.Leaves(key):
		m.how = nil
	}
}

// name names the fault that is chosen, by what was pointed at.
func (m *practising) name(way int) {
	in, over := m.p.Name(m.naming.At, Evidence{m.trace.Cursor, m.trace.OnDose, way})
	m.naming, m.trace, m.how = nil, nil, nil
	m.take(hand.Answer{Want: &in})
	if over {
		m.runner.Post(intent.Intent{Kind: intent.End})
	}
}
