package main

import (
	"flag"
	"os"
	"os/exec"
	"strconv"
	"testing"
	"time"

	"example.org/halfdrop/cmd/manners"
	"github.com/stretchr/testify/require"
)

// The test binary run again with this set is the program itself.
const programEnv = "HALFDROP_TEST_IS_PROGRAM"

// With this set the clock of that program runs so many times faster: what waits for an
// electrode waits less.
const clockEnv = "HALFDROP_TEST_CLOCK"

// quickened is a clock that runs k times faster than the one of the machine.
func quickened(k float64) func() time.Time {
	began := time.Now()
	return func() time.Time { return began.Add(time.Duration(k * float64(time.Since(began)))) }
}

func TestMain(m *testing.M) {
	if os.Getenv(programEnv) != "" {
		if k, err := strconv.ParseFloat(os.Getenv(clockEnv), 64); err == nil {
			clock = quickened(k)
		}
		lastResort(os.Exit)
		os.Exit(execute(os.Args[1:]))
	}
	if err := flag.Set("test.parallel", "5"); err != nil { // those that are parallel mostly wait
		panic(err)
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
