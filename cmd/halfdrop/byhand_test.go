package main

import (
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/protocol/protocoltest"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/report"
)

// amine is a plan of our own.
func amine() recipe.Plan {
	num := func(x float64) *float64 { return &x }
	return recipe.Plan{
		Name:    "amine, invented",
		Target:  recipe.Target{PH: num(8.2), Tolerance: num(0.02)},
		Beaker:  recipe.Beaker{StartML: num(160), FinalML: num(200), TempC: num(22)},
		Weighed: []recipe.Weighed{{Reagent: "Tris", MMol: num(20)}},
		Titrants: []recipe.Titrant{
			{Name: "acid", Reagent: "HCl", Molar: num(2), DropUL: num(50)},
			{Name: "weak acid", Reagent: "HCl", Molar: num(0.2), DropUL: num(50)},
		},
	}
}

func TestTypedReadingsInTheLineProtocol(t *testing.T) {
	file := filepath.Join(t.TempDir(), "run.jsonl")
	f := protocoltest.Start(t, amine(), file)
	r := f.Say(`{"t":30,"ph":10.71,"typed":true}`)
	assert.Equal(t, "wait", r.Do)
	require.NotNil(t, r.Again)
	assert.Equal(t, 20.0, *r.Again)
	assert.False(t, r.Rest)
	r = f.Say(`{"t":60,"ph":10.70,"typed":true,"stands":true}`)
	require.Equal(t, "add", r.Do, "%+v", r)
	assert.True(t, *r.Settled)
	assert.Nil(t, r.Again)
	r = f.Say(`{"t":90,"added":{"titrant":"acid","drops":36}}`)
	assert.Equal(t, "wait", r.Do)
	require.NotNil(t, r.Again)
	for _, bad := range []string{`74.2`, `0.881`, `-1`} {
		assert.NotEmpty(t, f.Say(`{"t":94,"ph":`+bad+`,"typed":true}`).Error, bad)
	}
	assert.Contains(t, f.Say(`{"t":94,"ph":86.5,"typed":true,"sure":true}`).Error, "is not a pH: was it 8.65?", "no word makes a pH of it")
	assert.Contains(t, f.Say(`{"t":94,"ph":8.65,"stands":true}`).Error, `"typed":true`)
	assert.Contains(t, f.Say(`{"t":94,"mv":-81,"typed":true}`).Error, `"ph"`)
	r = f.Say(`{"t":95,"ph":8.65,"typed":true,"stands":true}`)
	assert.Equal(t, "wait", r.Do, "nobody can have watched it: %+v", r)
	require.NotNil(t, r.Again)
	assert.Equal(t, 20.0, *r.Again)
	r = f.Say(`{"t":161,"ph":8.65,"typed":true,"stands":true}`)
	assert.Equal(t, "add", r.Do, "%+v", r)
	f.Close()

	log, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Contains(t, string(log), `"reading":{"ph":10.71,"decimals":2,"typed":true}`)
	assert.Contains(t, string(log), `"reading":{"ph":8.65,"decimals":2,"typed":true,"stands":true}`)
}

// A run by hand as a process: what is typed, what is said, what is kept, and that
// replay and report read it as it was.
func TestTitrateByHand(t *testing.T) {
	dir := t.TempDir()
	plan, file := filepath.Join(dir, "p.toml"), filepath.Join(dir, "run.jsonl")
	require.NoError(t, os.WriteFile(plan, encodePlan(t, amine()), 0o600))
	cmd := newRootCommand()
	var out roll
	var talk strings.Builder
	in, keys := io.Pipe()
	until := func(answer string) { // a person looks up between two lines
		for range 400 {
			if time.Sleep(50 * time.Millisecond); strings.Contains(out.String(), answer) {
				break
			}
		}
		time.Sleep(100 * time.Millisecond)
	}
	go func() {
		until("READ the pH")
		for _, say := range []struct{ line, answer string }{
			{"10.71", "10.71 taken"}, {"74.2", "was it 7.42?"}, {"esc", "type it again."}, {"10.70 s", "ADD "},
			{"", "recorded: "}, {"8.65 s", "8.65 taken as steady"}, {"q", "End the run"}, {"y", ""},
		} {
			io.WriteString(keys, say.line+"\n")
			until(say.answer)
		}
	}()
	cmd.SetIn(in)
	cmd.SetOut(&out)
	cmd.SetErr(&talk)
	cmd.SetArgs([]string{"titrate", "--by-hand", "--plain", "--plan", plan, "--journal", file})
	err := cmd.Execute()
	require.ErrorContains(t, err, "before it was read at rest", talk.String()) // it was left at once
	var left *remedy.Error
	require.ErrorAs(t, err, &left)
	assert.Equal(t, []string{"halfdrop titrate --resume " + file + " continues it"}, left.Hints, "for whoever takes over")
	assert.Contains(t, out.String(), "READ the pH and type it.")
	assert.Contains(t, out.String(), "10.71 taken\n")
	assert.Contains(t, out.String(), "74.2 is not a pH: was it 7.42?")
	assert.Contains(t, out.String(), "10.70 taken as steady\n")

	r, err := replay.Open(file)
	require.NoError(t, err)
	typed, stand := 0, 0
	for i := range r.Len() {
		if e := r.Event(i); e.Kind == journal.Read && e.Reading.Typed {
			typed++
			if e.Reading.Stands {
				stand++
			}
		}
	}
	assert.Equal(t, 3, typed)
	assert.Equal(t, 2, stand)
	assert.Equal(t, r.End().Look(r.Seconds()).Settling, r.At(r.Len()).Look(r.Seconds()).Settling)
	rec := report.New(r)
	assert.Equal(t, 1.7, rec.AddedML)
	assert.Equal(t, "read off and typed", r.First.Start.Source)
}

func TestByHandExcludesALine(t *testing.T) {
	for _, args := range [][]string{{"--port", "/dev/none"}, {"--port", "auto"}} {
		cmd := newRootCommand()
		cmd.SetArgs(append([]string{"titrate", "--by-hand", "--plan", "x.toml"}, args...))
		cmd.SetOut(&strings.Builder{})
		cmd.SetErr(&strings.Builder{})
		assert.ErrorContains(t, cmd.Execute(), "not connected", args)
	}
}

// By hand on the simulator: the display is that of the simulated bench, what is typed
// off it is what the run goes by, drops fall into the simulated beaker, and the run can
// be taken up again on the same bench.
func TestByHandOnTheSimulator(t *testing.T) {
	file := filepath.Join(t.TempDir(), "run.jsonl")
	shown := regexp.MustCompile(`The display shows (\d+\.\d+), 21\.0 °C\.`)
	play := func(args ...string) string {
		cmd := newRootCommand()
		in, keys := io.Pipe()
		p := &reader{shown: shown, keys: keys}
		cmd.SetIn(in)
		cmd.SetOut(p)
		cmd.SetErr(p)
		cmd.SetArgs(append([]string{"titrate", "--plain", "--speed", "30"}, args...))
		_ = cmd.Execute() // left before its aim
		return p.said.String()
	}
	said := play("--sim", "--by-hand", "--seed", "3", "--journal", file)
	assert.Contains(t, said, "the beaker is at 21.0 °C")
	assert.Contains(t, said, "taken as steady")
	assert.Contains(t, said, "recorded: ")
	r, err := replay.Open(file)
	require.NoError(t, err)
	assert.Equal(t, "read off and typed, simulated bench, seed 3", r.First.Start.Source)
	assert.True(t, r.End().Look(r.Seconds()).ByHand)
	assert.NotEmpty(t, r.Review().Steps)
	said = play("--resume", file)
	assert.Contains(t, said, "The display shows", "the bench is there again")
	assert.Contains(t, said, "taken as steady")
}

// reader is a person who reads the display off and types it, takes the first order,
// and leaves after the second value.
type reader struct {
	shown *regexp.Regexp
	keys  *io.PipeWriter
	said  strings.Builder
	typed int
	last  string // that the display has shown
}

func (p *reader) Write(b []byte) (int, error) {
	p.said.Write(b)
	text := string(b)
	say := func(lines ...string) {
		go func() {
			for _, l := range lines {
				io.WriteString(p.keys, l+"\n")
			}
		}()
	}
	m := p.shown.FindStringSubmatch(text)
	if m != nil {
		p.last = m[1]
	}
	switch {
	case m != nil && p.typed == 0:
		p.typed++
		say("21 C", p.last+" s")
	case strings.Contains(text, "READ the pH") && p.typed == 1: // another value is wanted
		say(p.last + " s")
	case strings.Contains(text, "ADD ") && p.typed == 1:
		p.typed++
		say("", "s")
	case strings.Contains(text, "recorded: ") && p.typed == 2:
		p.typed++
		say("q", "y")
	case strings.Contains(text, "is not ordered") || strings.Contains(text, "CHECK "):
		say("q", "y")
	}
	return len(b), nil
}
