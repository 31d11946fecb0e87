package main

import (
	"os"
	"os/exec"
	"testing"

	"example.org/halfdrop/cmd/manners"
	"github.com/stretchr/testify/require"
)

// The test binary run again with this set is the program itself.
const programEnv = "HALFDROP_TEST_IS_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(programEnv) != "" {
		os.Exit(execute(os.Args[1:]))
	}
	os.Setenv(manners.ConfigEnv, os.DevNull) // whoever tests may have defaults of their own
	os.Exit(m.Run())
}

// program is the program as a process of its own, not yet started.
func program(t *testing.T, args ...string) *exec.Cmd {
	t.Helper()
	exe, err := os.Executable()
	require.NoError(t, err)
	c := exec.Command(exe, args...)
	c.Env = append(os.Environ(), programEnv+"=1", "TERM=dumb")
	return c
}
