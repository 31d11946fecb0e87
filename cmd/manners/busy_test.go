package manners

import (
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// kept is an output that two goroutines may use.
type kept struct {
	sync.Mutex
	strings.Builder
}

func (k *kept) Write(b []byte) (int, error) {
	k.Lock()
	defer k.Unlock()
	return k.Builder.Write(b)
}

// TestBusy: what takes less than a second says nothing; what takes longer says what it
// does, and leaves an empty line behind, however often it is done.
func TestBusy(t *testing.T) {
	var quick, slow kept
	busy(&quick, "reading x", time.Hour)()
	assert.Empty(t, quick.String())
	done := busy(&slow, "reading long.csv", time.Millisecond)
	for range 1000 {
		time.Sleep(time.Millisecond)
		slow.Lock()
		n := slow.Len()
		slow.Unlock()
		if n > 0 {
			break
		}
	}
	done()
	done()
	said := slow.String()
	assert.Contains(t, said, "\rreading long.csv, 1 s")
	last := said[strings.LastIndex(strings.TrimSuffix(said, "\r"), "\r")+1:]
	assert.Empty(t, strings.TrimSpace(last), "the line is empty again")
	assert.NotPanics(t, Busy(&quick, "nothing"))
}
