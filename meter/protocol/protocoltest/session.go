// Package protocoltest talks to the filter of the line protocol in tests, as
// another program does: line by line.
package protocoltest

import (
	"bufio"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/pelletier/go-toml/v2"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/protocol"
	"example.org/halfdrop/meter/shelf"
)

// Session is a conversation with a filter.
type Session struct {
	t   testing.TB
	in  *io.PipeWriter
	out *bufio.Scanner
	end chan error
}

// Demo is the built-in plan.
func Demo(t testing.TB) recipe.Plan {
	t.Helper()
	p, err := planfile.Decode("built-in plan", planfile.Demo)
	must(t, err)
	return p
}

// Start begins a run of a plan; its journal is kept where a path is given.
func Start(t testing.TB, plan recipe.Plan, journal string) *Session {
	t.Helper()
	text, err := toml.Marshal(plan)
	must(t, err)
	path := filepath.Join(t.TempDir(), "plan.toml")
	must(t, os.WriteFile(path, text, 0o600))
	a, done, err := protocol.Open("halfdrop test", path, journal, shelf.Memory{Sim: true}, io.Discard)
	must(t, err)
	inR, inW := io.Pipe()
	outR, outW := io.Pipe()
	s := &Session{t: t, in: inW, out: bufio.NewScanner(outR), end: make(chan error, 1)}
	go func() {
		err := a.Run(inR, outW)
		outW.Close()
		done()
		s.end <- err
	}()
	return s
}

// Say sends one line and is the one answer to it.
func (s *Session) Say(line string) (r protocol.Reply) {
	s.t.Helper()
	_, err := io.WriteString(s.in, line+"\n")
	must(s.t, err)
	if !s.out.Scan() {
		s.t.Fatalf("no line out for the line in: %s", line)
	}
	if err := json.Unmarshal(s.out.Bytes(), &r); err != nil {
		s.t.Fatalf("%v: %s", err, s.out.Text())
	}
	return r
}

// Close ends the input; nothing may come after the last answer.
func (s *Session) Close() {
	s.t.Helper()
	s.in.Close()
	if s.out.Scan() {
		s.t.Errorf("after the last answer: %s", s.out.Text())
	}
	must(s.t, <-s.end)
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
