package tui_test

import (
	"fmt"
	"strings"
	"sync"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui"
	_ "example.org/halfdrop/tui/screen/screentest" // no colours
	"example.org/halfdrop/tui/terminal"
)

// fake is a run that only notes what is wanted of it.
type fake struct {
	mu    sync.Mutex
	views chan view.View
	got   []intent.Intent
}

func newFake() *fake { return &fake{views: make(chan view.View, 1)} }

func (f *fake) Views() <-chan view.View { return f.views }

func (f *fake) Post(in intent.Intent) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.got = append(f.got, in)
}

func (f *fake) wants() []intent.Intent {
	f.mu.Lock()
	defer f.mu.Unlock()
	var out []intent.Intent
	for _, in := range f.got {
		in.ID = 0 // only the run wants it
		out = append(out, in)
	}
	return out
}

// latest is the number of the latest intent.
func (f *fake) latest() int64 {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.got[len(f.got)-1].ID
}

// waiting and the views below are states of an invented run.
func waiting() view.View {
	v := view.View{
		T: 20, Name: "MOPS 20 mM, invented", Target: 7.20, Tolerance: 0.02, UseTemp: 30, BenchTemp: 21,
		Titrants: []string{"NaOH 1 M", "NaOH 0.1 M", "HCl 0.1 M"}, PerLitre: []float64{1, 0.1, -0.1},
		HasReading: true, PH: 6.91, Decimals: 2, Age: 0.2,
		Volume: 0.2, Start: 0.2, Final: 0.25, Charge: 1e-3, Aimed: 2.4e-3,
		Settling: probe.Estimate{State: probe.Settling, End: 6.93, SD: 0.02},
		Entries:  []view.Entry{{Stock: 0, Drops: 20, Volume: 1e-3}},
	}
	v.Advice = coach.Advice{Do: coach.Wait, Reason: coach.Settling, Aim: 7.32, Tolerance: 0.02}
	for i := range 41 {
		q := 3e-3 * float64(i) / 40
		v.Curve = append(v.Curve, coach.CurvePoint{Charge: q, PH: 6 + 500*q, Low: 5.95 + 500*q, High: 6.05 + 500*q})
	}
	return v
}

// offered waits for a better reading, and something is safe already.
func offered() view.View {
	v := waiting()
	v.Offer = &view.Offer{Titrant: "NaOH 1 M", Drops: 4, Volume: chem.Volume(0.2e-3), After: 7.1, Wait: 170}
	return v
}

func advising(drops float64) view.View {
	v := waiting()
	v.Settling.State, v.Settling.Now = probe.Settled, v.Settling.End
	v.Titrant, v.Ordered = v.Titrants[0], true
	v.Advice.Do, v.Advice.Reason, v.Advice.Drops = coach.Add, coach.Far, drops
	v.Advice.Volume = chem.Volume(drops) * 50 * chem.Microlitre
	v.Advice.After, v.Advice.Low, v.Advice.High = 7.2, 7.15, 7.25
	return v
}

// inML is an order of a bottle that is given in mL.
func inML(ml float64) view.View {
	v := advising(0)
	v.Advice.Volume = chem.Volume(ml) * chem.Millilitre
	return v
}

// falling is an order of which drops fall, asked about when nobody says so.
func falling(drops float64, asks bool) view.View {
	v := advising(drops)
	v.Falling, v.Advice.Reason = &view.Falling{Since: 15, Asks: asks}, coach.Dosing
	if asks {
		v.Advice.Do, v.Advice.Reason, v.Ordered = coach.Check, coach.Unsaid, false
	}
	return v
}

func stopping() view.View {
	v := waiting()
	v.PH, v.Settling.State = 7.32, probe.Settled
	v.AtRest, v.Read = true, view.Value{PH: 7.321, SD: 0.004, T: 20}
	v.Advice.Do, v.Advice.Reason = coach.Stop, coach.InTolerance
	return v
}

func checking() view.View {
	v := waiting()
	v.Advice.Do, v.Advice.Reason = coach.Check, coach.Stuck
	return v
}

// noRoom asks for a larger mark.
func noRoom() view.View {
	v := checking()
	v.Advice.Reason, v.Mark = coach.NoRoom, 230
	return v
}

// suspecting names mistakes of the codes.
func suspecting(codes ...string) view.View {
	v := checking()
	v.Advice.Reason = coach.Mistaken
	for _, c := range codes {
		v.Advice.Mistakes = append(v.Advice.Mistakes, coach.Mistake{Code: c, Name: "name of " + c})
	}
	return v
}

// amended has an amendment of the plan, and an addition.
func amended(v view.View) view.View {
	v.Amended = []string{"half of the buffer in the beaker"}
	v.Entries = []view.Entry{{Seq: 5, Drops: 6}}
	return v
}

// bench is the program with a fake run, driven message by message.
type bench struct {
	*testing.T
	*fake
	m    tea.Model
	quit bool
}

func start(t *testing.T, v view.View) *bench {
	t.Setenv("LC_ALL", "C.UTF-8")
	t.Setenv("TERM", "xterm-256color")
	f := newFake()
	b := &bench{T: t, fake: f, m: tui.New(f, terminal.Options{})}
	b.send(tea.WindowSizeMsg{Width: 80, Height: 24})
	b.show(v)
	return b
}

// ringing is the program with a bell that is counted.
func ringing(t *testing.T, v view.View, on bool, ring func()) *bench {
	f := newFake()
	b := &bench{T: t, fake: f, m: tui.NewRinging(f, terminal.Options{Bell: on}, ring)}
	b.send(tea.WindowSizeMsg{Width: 80, Height: 24})
	b.show(v)
	return b
}

// show lets the program take a view the way it does: by waiting for it.
func (b *bench) show(v view.View) {
	b.views <- v
	msg := b.m.Init()()
	b.send(msg)
}

func (b *bench) send(msg tea.Msg) {
	m, cmd := b.m.Update(msg)
	b.m = m
	if cmd != nil && fmt.Sprintf("%p", cmd) == fmt.Sprintf("%p", tea.Cmd(tea.Quit)) {
		b.quit = true
	}
}

// keys sends names of keys parted by blanks; other words are typed at once, as
// a terminal delivers keys that come fast.
func (b *bench) keys(words string) *bench {
	named := map[string]tea.KeyType{"Enter": tea.KeyEnter, "Esc": tea.KeyEsc, "Backspace": tea.KeyBackspace,
		"Ctrl-C": tea.KeyCtrlC, "F1": tea.KeyF1, "Up": tea.KeyUp}
	for _, w := range strings.Fields(words) {
		switch k, ok := named[w]; {
		case ok:
			b.send(tea.KeyMsg{Type: k})
		case w == "Space":
			b.send(tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}})
		default:
			b.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(w)})
		}
	}
	return b
}

func (b *bench) screen() string { return b.m.View() }

// row is the row of the screen that holds a word.
func (b *bench) row(word string) string {
	for _, r := range strings.Split(b.screen(), "\n") {
		if strings.Contains(r, word) {
			return strings.TrimSpace(r)
		}
	}
	require.Fail(b, "no row with "+word, b.screen())
	return ""
}

// dose are the intents of drops that are counted, from a number on.
func dose(titrant string, from, to float64) (out []intent.Intent) {
	for n := from; n <= to; n++ {
		out = append(out, intent.Intent{Kind: intent.Dose, Titrant: titrant, Drops: n})
	}
	return out
}

func add(titrant string, drops float64) intent.Intent {
	return intent.Intent{Kind: intent.Add, Titrant: titrant, Drops: drops}
}
