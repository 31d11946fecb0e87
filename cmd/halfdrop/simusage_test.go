package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/sim"
)

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
