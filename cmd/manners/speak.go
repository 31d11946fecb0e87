package manners

import (
	"context"
	"errors"
	"fmt"
	"os/exec"
	"time"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
)

// Speaker runs a program of the user's with each new sentence: a speech program, a
// light. It never holds up the run: what comes while the program is at work takes the
// place of what has not been begun, so that the latest is said and no queue grows.
type Speaker struct {
	words []string    // the program and its arguments; the sentence goes last
	next  chan string // holds one
	done  chan struct{}
	ctx   context.Context
	stop  func()
}

// How long the program may take for a sentence before it is ended, so that one that
// hangs does not keep the next from being heard, and how long the last of a run is
// waited for.
const (
	longestSpeech = 20 * time.Second
	lastSpeech    = 5 * time.Second
)

// NewSpeaker is the speaker of a command line.
func NewSpeaker(command string) (*Speaker, error) {
	words, err := phrase.Words(command)
	if err == nil && len(words) == 0 {
		err = errors.New("no program was named")
	}
	if err == nil {
		_, err = exec.LookPath(words[0])
	}
	if err != nil {
		return nil, remedy.Call(fmt.Errorf("--speak %q: %w", command, err), `name a program that takes a sentence as its last argument, as in --speak espeak-ng or --speak "say -v Daniel"`)
	}
	s := &Speaker{words: words, next: make(chan string, 1), done: make(chan struct{})}
	s.ctx, s.stop = context.WithCancel(context.Background())
	go s.work()
	return s, nil
}

// Say hands over a sentence and returns at once.
func (s *Speaker) Say(sentence string) {
	for {
		select {
		case s.next <- sentence:
			return
		default:
		}
		select {
		case <-s.next: // not begun, and no longer so
		default:
		}
	}
}

func (s *Speaker) work() {
	defer close(s.done)
	for sentence := range s.next {
		ctx, stop := context.WithTimeout(s.ctx, longestSpeech)
		_ = s.command(ctx, sentence).Run() // a program that fails says nothing; the run is on the screen
		stop()
	}
}

func (s *Speaker) command(ctx context.Context, sentence string) *exec.Cmd {
	args := append(s.words[1:len(s.words):len(s.words)], sentence)
	return exec.CommandContext(ctx, s.words[0], args...)
}

// Close ends it once the last sentence has been said. A program that hangs is waited for
// no longer than that takes, and ended.
func (s *Speaker) Close() {
	close(s.next)
	select {
	case <-s.done:
	case <-time.After(lastSpeech):
		s.stop()
		<-s.done
	}
	s.stop()
}

// Cut ends it at once, and the sentence that is being said.
func (s *Speaker) Cut() {
	s.stop()
	close(s.next)
	<-s.done
}
