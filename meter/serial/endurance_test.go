package serial

import (
	"fmt"
	"os"
	"runtime"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
)

// Ten readings a second for eight hours, every hundredth line damaged: every
// reading arrives, and the memory stays where it was.
func TestEightHours(t *testing.T) {
	hours := 8.0
	if os.Getenv("HALFDROP_LONG") == "" {
		hours = 0.5
		t.Log("SHORTENED: half an hour; set HALFDROP_LONG=1 for eight")
	}
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.send("\n")
		sent, heard := 0, 0
		var early, late uint64
		total := int(hours * 36000)
		for i := range total {
			line := fmt.Sprintf("pH 7.%03d 25.1 C\r\n", i%100)
			if i%100 == 99 {
				line = "pH 7.0\xff\r\n"
			} else {
				sent++
			}
			b.send(line)
			b.wait(100 * time.Millisecond)
			for _, s := range b.states() {
				if s[0] == '7' {
					heard++
				}
			}
			switch i {
			case total / 10:
				early = heap()
			case total - 1:
				late = heap()
			}
		}
		assert.Equal(t, sent, heard)
		assert.Less(t, float64(late), float64(early)+256<<10)
		t.Logf("%g h, %d readings; heap %d kB after a tenth, %d kB at the end",
			hours, heard, early>>10, late>>10)
		b.end()
	})
}

// heap is the memory in use, in bytes.
func heap() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}
