package pick

import (
	"context"
	"os"
	"slices"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen/menu"
	"example.org/halfdrop/tui/screen/task"
	"example.org/halfdrop/tui/terminal"
	"example.org/halfdrop/tui/widget"
)

// still is a screen that waits for a key that means something: a menu, a page
// to be read. Keys that only move about in it are its own.
type still struct {
	draw   func(w, h int, set *widget.Set) string
	move   func(key string) bool  // took the key and goes on
	others []string               // keys that end it beside Enter and those that leave
	ask    func(w, h int) tea.Cmd // what is to be looked up now, beside the keys; may be nil
	take   func(found)
	keys   func() (title string, list []keyrow.Key) // for ?
	help   bool                                     // they are shown
	ended  string
	idle   string // what is said of the last key, where it did nothing; in the place of the hints
	set    *widget.Set
	w, h   int
}

// Init has nothing to wait for but keys.
func (m *still) Init() tea.Cmd { return nil }

// Update takes a key or a size.
func (m *still) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.w, m.h = msg.Width, msg.Height
		return m, m.looksUp()
	case found:
		m.take(msg)
		return m, m.looksUp()
	case tea.KeyMsg:
		for _, key := range terminal.Keys(msg) {
			m.idle = ""
			switch {
			case m.ended != "":
			case m.help && key != "ctrl+c", key == "?": // a key does nothing that is not on the screen
				m.help = !m.help
			case key == "enter", Leaves(key), slices.Contains(m.others, key):
				m.ended = key
				return m, tea.Quit
			case key == "ctrl+z":
				return m, tea.Suspend
			case !m.move(key):
				m.idle = terminal.Idle(key)
			}
		}
		return m, m.looksUp()
	}
	return m, nil
}

// View draws the screen.
func (m *still) View() string {
	if m.w == 0 {
		return ""
	}
	if m.help {
		title, list := m.keys()
		return keyrow.Page(title, list, m.set, m.w, m.h)
	}
	shown := m.draw(m.w, m.h, m.set)
	if at := strings.LastIndexByte(shown, '\n'); m.idle != "" && at >= 0 {
		row := widget.NewSheet(m.w, 1)
		row.PutIn(row.Page(), 0, widget.Warn, m.set.Warn+" "+m.idle, m.set)
		shown = shown[:at+1] + row.Painted()
	}
	return shown
}

// show runs a still screen; the key that ended it is empty when the person left, or ctx did.
func (m *still) show(ctx context.Context, o terminal.Options) (string, error) {
	m.set = o.Set(os.Getenv)
	if err := terminal.Show(ctx, m, o); err != nil {
		return "", err
	}
	if Leaves(m.ended) {
		return "", nil
	}
	return m.ended, nil
}

// Steer moves the chosen row of a menu.
func Steer(m *menu.Menu, key string) bool {
	n := len(m.Rows)
	switch key {
	case "up", "k":
		m.At--
	case "down", "j":
		m.At++
	case "pgup":
		m.At -= 10
	case "pgdown":
		m.At += 10
	case "home":
		m.At = 0
	case "end":
		m.At = n - 1
	default:
		return false
	}
	m.At = min(max(m.At, 0), max(n-1, 0))
	return true
}

// ToRow goes to the row whose number is typed: 1 and then 3 to the thirteenth.
// typed is the number so far.
func ToRow(m *menu.Menu, typed int, key string) int {
	if len(key) != 1 || key[0] < '0' || key[0] > '9' {
		return 0
	}
	d := int(key[0] - '0')
	for _, n := range []int{10*typed + d, d} {
		for i, row := range m.Rows {
			if strings.TrimSpace(row.Left) == strconv.Itoa(n) {
				m.At = i
				return n
			}
		}
	}
	return 0
}

// Choose shows a menu, with a side that more finds for a row, until Enter is pressed. It
// returns the row chosen; ok is false when the person left.
func Choose(ctx context.Context, m menu.Menu, more func(at int) *menu.Side, o terminal.Options) (at int, ok bool, err error) {
	key, err := newMenu(&m, more).show(ctx, o)
	return m.At, key != "", err
}

// newMenu is the screen of a menu.
func newMenu(m *menu.Menu, more func(at int) *menu.Side) *still {
	typed := 0
	lookup := newLookup(m, more)
	return &still{
		draw: func(w, h int, set *widget.Set) string { m.Set = set; return menu.Draw(*m, w, h) },
		keys: func() (string, []keyrow.Key) { return m.Title, m.Keys },
		ask:  lookup.ask,
		take: lookup.take,
		move: func(key string) bool {
			typed = ToRow(m, typed, key)
			return Steer(m, key) || typed > 0
		},
	}
}

// Leaves reports whether a key leaves a screen.
func Leaves(key string) bool { return key == "q" || key == "esc" || key == "ctrl+c" }

// Tell shows a task until Enter, a key of others or a key that leaves it (then
// the answer is empty).
func Tell(ctx context.Context, t task.Task, others []string, o terminal.Options) (string, error) {
	s := &still{
		draw:   func(w, h int, set *widget.Set) string { t.Set = set; return task.Tell(t, w, h) },
		keys:   func() (string, []keyrow.Key) { return t.Title, t.Keys },
		move:   func(string) bool { return false },
		others: others,
	}
	return s.show(ctx, o)
}

// Debrief shows a debrief, whose pages are turned with Tab, until Enter, a key
// of others or a key that leaves it (then the answer is empty). It returns the
// page that was open, too.
func Debrief(ctx context.Context, d task.Debrief, others []string, o terminal.Options) (int, string, error) {
	s := &still{
		draw: func(w, h int, set *widget.Set) string { d.Set = set; return task.Debriefed(d, w, h) },
		keys: func() (string, []keyrow.Key) { return d.Title, d.Keys },
		move: func(key string) bool {
			switch key {
			case "tab", "right", " ", "n", "pgdown":
				d.Page = (d.Page + 1) % task.Pages
			case "shift+tab", "left", "p", "pgup":
				d.Page = (d.Page + task.Pages - 1) % task.Pages
			default:
				return false
			}
			return true
		},
		others: others,
	}
	key, err := s.show(ctx, o)
	return d.Page, key, err
}

// found is what was looked up for a row of a menu.
type found struct {
	at   int
	side *menu.Side
}

// looksUp is the command that looks up what a screen lacks.
func (m *still) looksUp() tea.Cmd {
	if m.ask == nil {
		return nil
	}
	return m.ask(m.w, m.h)
}

// lookup finds the side of a menu, one row at a time, and keeps what it has found.
type lookup struct {
	menu *menu.Menu
	more func(at int) *menu.Side
	kept map[int]*menu.Side
	busy bool
}

func newLookup(m *menu.Menu, more func(at int) *menu.Side) *lookup {
	m.Sided = more != nil
	return &lookup{menu: m, more: more, kept: map[int]*menu.Side{}}
}

func (l *lookup) ask(w, h int) tea.Cmd {
	if l.more == nil || !l.menu.RoomForSide(w, h) {
		return nil
	}
	at := l.menu.At
	side, known := l.kept[at]
	if l.menu.Side = side; known || l.busy {
		return nil
	}
	l.busy = true
	return func() tea.Msg { return found{at, l.more(at)} }
}

func (l *lookup) take(f found) { l.busy, l.kept[f.at] = false, f.side }
