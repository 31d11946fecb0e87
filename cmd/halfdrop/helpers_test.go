package main

import (
	"strings"
	"testing"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/sim"
	"github.com/pelletier/go-toml/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func encodePlan(t *testing.T, p recipe.Plan) []byte {
	t.Helper()
	b, err := toml.Marshal(p)
	require.NoError(t, err)
	return b
}

// builtIn is the plan of titrate --sim.
func builtIn(t *testing.T) recipe.Plan {
	t.Helper()
	p, err := planfile.Decode("built-in plan", planfile.Demo)
	require.NoError(t, err)
	return p
}

// TestHomeSaysCommandLines: what the menus of the home screen lead to (see the tests of
// tui/home) is a command line.
func TestHomeSaysCommandLines(t *testing.T) {
	for _, line := range []string{
		"titrate --sim --by-hand", "titrate --find --sim --by-hand", "plan", "calibrate --typed --standards 7.00,4.01",
		"titrate --port auto --plan x.toml", "titrate --meter corner --plan x.toml", "titrate --resume x.jsonl", "find example", "replay x.jsonl", "practice",
	} {
		cmd, rest, err := newRootCommand().Find(strings.Fields(line))
		require.NoError(t, err, line)
		require.NoError(t, cmd.ParseFlags(rest), line)
	}
}

func typing() simulation {
	return simulation{sends: "ph", seed: 3, speed: 1, every: sim.Every}
}

func TestSimulationUsage(t *testing.T) {
	good := typing()
	kind, err := good.check()
	require.NoError(t, err)
	assert.Equal(t, sim.SendPH, kind)
	for name, change := range map[string]func(*simulation){
		"send": func(s *simulation) { s.sends = "volts" }, "speed": func(s *simulation) { s.speed = 0 },
		"every": func(s *simulation) { s.every = 1 }, "two plans": func(s *simulation) { s.savePlan, s.planPath = "a", "b" },
	} {
		s := typing()
		change(&s)
		_, err := s.check()
		require.Error(t, err, name)
	}
}

// An exercise that is not there is said so.
func TestSimulatesNoSuchExercise(t *testing.T) {
	s := typing()
	s.exercise = "nothing-of-that-name"
	_, err := s.practised()
	assert.ErrorContains(t, err, "no exercise is called")
}
