package playback

import (
	"context"
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen/logpage"
	"example.org/halfdrop/tui/terminal"
	"example.org/halfdrop/tui/widget"
)

// LogChoice is what a person says of the log of another program.
type LogChoice struct {
	Column map[string]string // quantity to the number of a column; "-" for none
	Volume string            // what the volume counts; empty to find out
	Run    int               // of several side by side; 0 for the first
}

// LogPage is a log as it was read with a choice.
type LogPage struct {
	Name     string
	How      string // in a few words
	Columns  []logpage.Column
	Rows     [][]string
	Lines    []int
	Question string // what only a person can say; empty when nothing is open
	ByKeys   string // how it is answered on the screen
	ByWords  string // and in lines
	Points   []LogPoint
	Curve    []LogPoint // fitted, or the readings
	XLabel   string
	Says     []string // the fit, or why there is none, and the notes
	Runs     int

	Aimed       bool    // what was aimed at is known
	Aim, Within float64 // pH, and its tolerance
	Over        int     // number of the reading, from 1, that the aim was passed with; 0 for none
}

// LogPoint is a reading: where on the axis it lies, and how it is spoken of.
type LogPoint struct {
	X, PH float64
	Words string
}

// LogReader reads the log anew with what a person says of it.
type LogReader func(LogChoice) (LogPage, error)

// ReplayLog shows the log of another program, until the person leaves or ctx ends.
func ReplayLog(ctx context.Context, read LogReader, o terminal.Options) error {
	m, err := newLogReplay(read, o)
	if err != nil {
		return err
	}
	return terminal.Show(ctx, m, o)
}

// logging is the program model.
type logging struct {
	read    LogReader
	page    LogPage
	choice  LogChoice
	reading bool // the page of how it was read is shown
	chosen  int
	at      int
	scroll  int
	helping bool
	message string
	wrong   bool
	options terminal.Options
	w, h    int
}

func newLogReplay(read LogReader, o terminal.Options) (*logging, error) {
	m := &logging{read: read, options: o, choice: LogChoice{Column: map[string]string{}}}
	page, err := read(m.choice)
	if err != nil {
		return nil, err
	}
	m.page, m.reading = page, true
	return m, nil
}

// Init needs nothing.
func (m *logging) Init() tea.Cmd { return nil }

// Update takes a key or a new size.
func (m *logging) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.w, m.h = msg.Width, msg.Height
	case tea.KeyMsg:
		for _, key := range terminal.Keys(msg) {
			if cmd := m.press(key); cmd != nil {
				return m, cmd
			}
		}
	}
	return m, nil
}

// logUses are the keys that say what a column holds.
var logUses = map[string]string{"p": "ph", "m": "mv", "v": "volume", "d": "drops", "t": "time", "c": "temp"}

// logKeys are the keys with what they do.
var logKeys = []keyrow.Key{
	{Name: "Enter", Short: "curve", Does: "from the table to the curve and back"},
	{Name: "← →", Short: "choose", Does: "choose a column; on the curve, the reading before or after"},
	{Name: "p v t", Short: "what it is", Does: "the column is pH, volume or time; m mV, d drops, c °C"},
	{Name: "-", Short: "none", Does: "the column is none of these"},
	{Name: "k", Short: "volume is", Does: "what the volume counts: total, for each row, or left in the burette"},
	{Name: "r", Short: "run", Does: "the next of several runs side by side"},
	{Name: "o", Short: "overshoot", Does: "to the reading with which the aim was passed; --aim says what was aimed at"},
	{Name: "PgUp", Does: "ten readings back; PgDn ten on, Home and End to the first and the last"},
	{Name: "↑ ↓", Does: "scroll the text beside the curve"},
	{Name: "?", Short: "keys", Does: "all keys"},
	{Name: "q", Short: "leave", Does: "leave; the file is as it was"},
}

func (m *logging) press(key string) tea.Cmd {
	m.message, m.wrong = "", false
	if m.helping {
		m.helping = false
		return nil
	}
	use, says := logUses[key]
	switch {
	case key == "q" || key == "ctrl+c" || key == "esc":
		return tea.Quit
	case key == "?":
		m.helping = true
	case key == "enter" || key == "tab":
		if m.reading && m.page.Question != "" {
			m.message, m.wrong = "first answer the question above", true
			return nil
		}
		m.reading = !m.reading
	case key == "k":
		m.kind()
	case key == "r":
		m.run()
	case key == "o":
		m.overshoot()
	case says && m.reading:
		m.say(use)
	case key == "-" && m.reading:
		m.none()
	default:
		m.step(key)
	}
	return nil
}

// step goes through columns or readings.
func (m *logging) step(key string) {
	at, n := &m.at, len(m.page.Points)
	if m.reading {
		at, n = &m.chosen, len(m.page.Columns)
	}
	switch key {
	case "right", "n":
		*at++
	case "left":
		*at--
	case "pgdown":
		*at += 10
	case "pgup":
		*at -= 10
	case "home":
		*at = 0
	case "end":
		*at = n - 1
	case "down":
		m.scroll++
	case "up":
		m.scroll = max(0, m.scroll-1)
	default:
		m.message, m.wrong = terminal.Idle(key), true
	}
	*at = max(0, min(*at, n-1))
}

// overshoot goes to where the aim was passed.
func (m *logging) overshoot() {
	switch {
	case !m.page.Aimed:
		m.message, m.wrong = "the log does not say what was aimed at; --aim does", true
	case m.page.Over == 0:
		m.message, m.wrong = "no overshoot was found", true
	default:
		m.reading, m.at = false, m.page.Over-1
	}
}

// say takes the chosen column for a quantity, and reads anew.
func (m *logging) say(quantity string) {
	number := fmt.Sprint(m.chosen + 1)
	next := m.copied()
	maps.DeleteFunc(next.Column, func(_, at string) bool { return at == number })
	next.Column[quantity] = number
	m.again(next)
}

// none says that the chosen column is nothing that counts.
func (m *logging) none() {
	next := m.copied()
	use := m.page.Columns[m.chosen].Use
	for q, name := range map[string]string{"ph": "pH", "mv": "mV", "volume": "volume", "drops": "drops", "time": "time", "temp": "temperature"} {
		if use == name {
			next.Column[q] = "-"
			m.again(next)
			return
		}
	}
	m.message, m.wrong = "it is not used as it is", true
}

func (m *logging) copied() LogChoice {
	next := m.choice
	next.Column = maps.Clone(m.choice.Column)
	return next
}

// volumeWords say what a volume was taken for.
var volumeWords = map[string]string{"": "what the volume counts is worked out", "total": "the volume is the total given so far",
	"each": "the volume is what was given in each row", "left": "the volume is what was left in the burette"}

// kind goes through what a volume may count.
func (m *logging) kind() {
	next := m.copied()
	next.Volume = map[string]string{"": "total", "total": "each", "each": "left", "left": ""}[next.Volume]
	m.again(next)
	if !m.wrong {
		m.message = volumeWords[next.Volume]
	}
}

func (m *logging) run() {
	if m.page.Runs < 2 {
		m.message, m.wrong = "there is only one run", true
		return
	}
	next := m.copied()
	next.Run = max(next.Run, 1)%m.page.Runs + 1
	m.again(next)
	if !m.wrong {
		m.message = fmt.Sprintf("run %d of %d", next.Run, m.page.Runs)
	}
}

// again reads the log with another choice; one that cannot be read changes nothing.
func (m *logging) again(next LogChoice) {
	page, err := m.read(next)
	if err != nil {
		m.message, m.wrong = phrase.Plain(err).Error(), true
		return
	}
	m.page, m.choice, m.at, m.scroll = page, next, 0, 0
	if page.Question != "" {
		m.reading = true
	}
}

// View is the screen.
func (m *logging) View() string {
	if m.w == 0 {
		return ""
	}
	return logpage.Draw(m.screen(), m.w, m.h)
}

func (m *logging) screen() logpage.Page {
	p := &m.page
	l := logpage.Page{Name: p.Name, Columns: p.Columns, Rows: p.Rows, Lines: p.Lines, How: p.How, Ask: strings.TrimSpace(p.Question + " " + p.ByKeys), Chosen: m.chosen,
		Reading: m.reading, XLabel: p.XLabel, Says: p.Says, Scroll: m.scroll, Message: m.message, Wrong: m.wrong, Keys: m.hints(), Set: m.options.Set(os.Getenv)}
	if m.helping {
		l.Help = logKeys
	}
	if m.reading || len(p.Points) == 0 {
		return l
	}
	for _, c := range p.Curve {
		l.Curve = append(l.Curve, widget.CurvePoint{X: c.X, Y: c.PH, Low: c.PH, High: c.PH})
	}
	if p.Aimed {
		l.Aim, l.Within, l.AimText = p.Aim, p.Within, "aim"
	}
	most := 240 // points that a screen can show
	for i, every := 0, int(math.Ceil(float64(m.at+1)/float64(most))); i <= m.at; i++ {
		if i%every == 0 || i == m.at {
			l.Points = append(l.Points, widget.Point{X: p.Points[i].X, Y: p.Points[i].PH})
		}
	}
	l.At = fmt.Sprintf("reading %d of %d: %s", m.at+1, len(p.Points), p.Points[m.at].Words)
	return l
}

// hints are the keys worth naming on this page.
func (m *logging) hints() []keyrow.Key {
	pick := func(names ...string) (out []keyrow.Key) {
		for _, n := range names {
			for _, k := range logKeys {
				if k.Name == n {
					out = append(out, k)
				}
			}
		}
		return out
	}
	var over, runs []keyrow.Key
	if m.page.Over > 0 {
		over = pick("o")
	}
	if m.page.Runs > 1 {
		runs = pick("r")
	}
	if m.reading {
		return slices.Concat(pick("← →", "p v t", "Enter"), over, pick("?", "q", "-"))
	}
	return slices.Concat([]keyrow.Key{{Name: "← →", Short: "step"}, {Name: "Tab", Short: "how it was read"}}, over, pick("?", "q", "k"), runs)
}
