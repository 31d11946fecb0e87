package main

import (
	"bytes"
	"io"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/shelf"
)

// runCalibrate is what `halfdrop calibrate` prints, its exit status and its talk.
func runCalibrate(t *testing.T, in io.Reader, args ...string) (out string, status int, told string) {
	t.Helper()
	var talk bytes.Buffer
	out, status = calibrateWith(in, &talk, args...)
	return out, status, talk.String()
}

func calibrateWith(in io.Reader, talk io.Writer, args ...string) (out string, status int) {
	cmd := newCalibrateCommand()
	cmd.SilenceErrors, cmd.SilenceUsage = true, true
	var stdout bytes.Buffer
	cmd.SetIn(in)
	cmd.SetOut(&stdout)
	cmd.SetErr(talk)
	cmd.SetArgs(append([]string{}, args...)) // nil would mean those of the test
	status = manners.Tell(talk, cmd.Execute())
	return stdout.String(), status
}

// attended is a calibration with a person who presses Enter at each prompt.
func attended(args ...string) (out string, status int, told string) {
	p := newPerson("\n")
	out, status = calibrateWith(keyboard{p}, p, args...)
	return out, status, p.String()
}

// person reads what is said and answers the prompts: the talk is written to
// it, and what it types is read from it.
type person struct {
	bytes.Buffer
	keys   chan string
	answer string // to each prompt
}

func newPerson(answer string) *person { return &person{keys: make(chan string, 16), answer: answer} }

func (p *person) Write(b []byte) (int, error) {
	if strings.Contains(string(b), "Enter when it is in") {
		p.keys <- p.answer
	}
	return p.Buffer.Write(b)
}

// keyboard is what it types with.
type keyboard struct{ *person }

func (h keyboard) Read(b []byte) (int, error) { return copy(b, <-h.keys), nil }

func TestCalibrateUsage(t *testing.T) {
	for _, tc := range []struct{ args, said string }{
		{"", "no source of readings"},
		{"--sim --port x", "exclude each other"},
		{"--history --sim", "calibrates nothing"},
		{"--port x --speed 2", "--speed is for the simulator"},
		{"--sim --speed 0", "outside 0.1–1000"},
		{"--sim --temp 99", "outside 0.5–60 °C"},
		{"--sim --set mine", "not a set of standards"},
		{"--sim --standards 7.00", "use two or three standards"},
		{"--sim --standards 7.00,7", "named twice"},
		{"--sim --standards 7.00,5.5", "no such standard"},
		{"--sim --standards 7.00,4.01 --check 11", "no such standard"},
		{"--sim --standards 4.00,7.00", "could be more than one liquid: 4.01"},
		{"--sim --standards 7.00,10.00", "the nearest is 10.01"},
		{"--sim --standards 6.86,9.18,12.45 --temp 52", "nothing is known of"},
		{"--sim --standards 7.00,4.01 --expiry 7.00=soon", `"soon" is not a date`},
		{"--typed --standards 7.00,4.01 --expiry 7.00=soon", `"soon" is not a date`}, // was taken as it stood
		{"--sim --standards 7.00,4.01 --lot 10.01=A1", "--lot: standard 10.01 is not one of those used"},
		{"--sim --send volts --standards 7.00,4.01", "not one of ph, mv, both"},
	} {
		_, status, told := runCalibrate(t, strings.NewReader(""), strings.Fields(tc.args)...)
		assert.Equal(t, manners.ExitUsage, status, tc.args)
		assert.Contains(t, told, tc.said, tc.args)
	}
	_, status, told := runCalibrate(t, strings.NewReader(""), "--port", filepath.Join(t.TempDir(), "none"))
	assert.Equal(t, manners.ExitFailed, status)
	assert.Contains(t, told, "no such port")
}

// From the prompts to the history on the simulated electrode, through the
// command itself; what was kept is what was shown.
func TestCalibrateSimulated(t *testing.T) {
	file := filepath.Join(t.TempDir(), "deep", "history.jsonl")
	out, status, told := attended("--sim", "--seed", "4", "--speed", "60", "--standards", "7.00,4.01",
		"--electrode", "E7", "--operator", "the one at the plate", "--lot", "7.00=A12", "--expiry", "7.00=2099-12", "--file", file)
	require.Equal(t, manners.ExitOK, status, told)
	assert.Regexp(t, `^slope \d+\.\d ± \d\.\d %, offset [+-]\d+\.\d ± \d\.\d mV at 21\.0 °C: accepted\n`, out)
	for _, want := range []string{"USP <791>", "no published limit", "pass   slope", "7.00   pH 7.016"} {
		assert.Contains(t, out, want)
	}
	for _, want := range []string{"1 of 2: standard 7.00", "2 of 2: standard 4.01", "blot", "settled after", "safety data sheet", "kept in " + file} {
		assert.Contains(t, told, want)
	}
	h, err := shelf.LoadHistory(file)
	require.NoError(t, err)
	require.Len(t, h.List, 1)
	c := h.List[0]
	assert.True(t, strings.HasPrefix(out, c.Summary()))
	assert.Equal(t, "E7", c.Electrode)
	assert.Equal(t, "the one at the plate", c.Operator)
	assert.Equal(t, "A12", c.Points[0].Lot)
	assert.Equal(t, "2099-12", c.Points[0].Expiry)
	assert.Equal(t, calib.SendsMV, c.Sends)
}

// A meter that sends only pH is checked.
func TestCalibrateChecksAMeter(t *testing.T) {
	out, _, told := attended("--sim", "--seed", "4", "--speed", "60", "--standards", "7.00,4.01", "--send", "ph")
	assert.Contains(t, out, "check of the meter at 21.0 °C")
	assert.Contains(t, out, "changes no reading")
	assert.Contains(t, told, "not kept: this was the simulated electrode")
}

func TestCalibrateBrokenOff(t *testing.T) {
	_, status, told := runCalibrate(t, strings.NewReader("q\n"), "--sim")
	assert.Equal(t, manners.ExitInterrupted, status)
	assert.Contains(t, told, "nothing was kept")
	_, status, told = runCalibrate(t, strings.NewReader(""), "--sim")
	assert.Equal(t, manners.ExitFailed, status)
	assert.Contains(t, told, "the input ended before all the standards had been read")
	p := newPerson("\nq\n")
	_, status = calibrateWith(keyboard{p}, p, "--sim")
	assert.Equal(t, manners.ExitInterrupted, status, p.String())
}
