//go:build linux || darwin

package main

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/station"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The command as a process: the name of the port on the standard output, typed
// lines answered, the end by Ctrl-C clean, the plan for the other window.
func TestSimAsAProcess(t *testing.T) {
	dir := t.TempDir()
	link, plan := filepath.Join(dir, "bench"), filepath.Join(dir, "demo.toml")
	cmd := program(t, "sim", "--seed", "3", "--link", link, "--save-plan", plan, "--every", "20ms")
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	var talk bytes.Buffer
	cmd.Stderr = &talk
	require.NoError(t, cmd.Start())
	lines := bufio.NewReader(out)
	name, err := lines.ReadString('\n')
	require.NoError(t, err)
	assert.Equal(t, link+"\n", name)
	source, err := serial.Open(serial.Config{Name: link})
	require.NoError(t, err)
	require.NoError(t, source.Close())
	fmt.Fprint(in, "6 NaOH 1 M\npH\n")
	shown, err := lines.ReadString('\n')
	require.NoError(t, err)
	assert.Regexp(t, `^pH -?\d+\.\d+ 21\.0 C\n$`, shown)
	require.NoError(t, cmd.Process.Signal(os.Interrupt))
	require.NoError(t, cmd.Wait(), talk.String())
	assert.Contains(t, talk.String(), "6 drops of NaOH 1 M in the beaker")
	assert.Contains(t, talk.String(), "halfdrop titrate --port "+link+" --plan "+plan)
	_, err = os.Lstat(link)
	require.ErrorIs(t, err, os.ErrNotExist)
	_, err = planfile.Load(plan)
	require.NoError(t, err)
	again := program(t, "sim", "--save-plan", plan)
	said, err := again.CombinedOutput()
	require.Error(t, err)
	assert.Contains(t, string(said), "not overwritten; give another")
}

// The plan that can be written is said to be that which stands here.
func TestSimSaysWhichPlan(t *testing.T) {
	for exercise, says := range map[string]string{"": "the built-in plan is written", "9": "the plan of the exercise is written"} {
		var said bytes.Buffer
		(&simulation{exercise: exercise}).greet(&said, "port", &station.Station{})
		assert.Contains(t, said.String(), says)
	}
}
