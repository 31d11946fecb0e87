package guard_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/guard"
)

// wire is a stream of lines with a fault in every third line or so, and what
// was sent on it.
type wire struct {
	rng  *rand.Rand
	ph   float64
	line func(ph float64) string
	hurt func(rng *rand.Rand, line []byte) []byte

	whole, damaged int // lines
	good, wrong    int // readings, and those of them that were not sent
	far            int // of the wrong ones, by more than the meter's noise
}

func (w *wire) String() string {
	return fmt.Sprintf("%d whole lines, %d damaged, %d readings, %d of them not sent, %d by more than 0.1 pH or 1 °C",
		w.whole, w.damaged, w.good, w.wrong, w.far)
}

// next is the next line as sent and as received.
func (w *wire) next() (sent string, got []byte) {
	w.ph = math.Min(11, math.Max(3, w.ph+w.rng.NormFloat64()*0.02))
	sent = w.line(w.ph)
	if w.rng.IntN(3) > 0 {
		return sent, []byte(sent)
	}
	return sent, w.hurt(w.rng, []byte(sent))
}

// The faults of which the package promises that they are seen.
var visible = map[string]func(rng *rand.Rand, line []byte) []byte{
	"foreign bytes put in": func(rng *rand.Rand, line []byte) []byte {
		i, garbage := rng.IntN(len(line)), make([]byte, 1+rng.IntN(3))
		for k := range garbage {
			const foreign = "\x00\x01\x07\x1b\x7f\x81\xa5\xbf\xc0\xe3\xf0\xff!\"%&()?@[]^_~"
			garbage[k] = foreign[rng.IntN(len(foreign))]
		}
		return append(append(append([]byte(nil), line[:i]...), garbage...), line[i:]...)
	},
	"terminator lost": func(_ *rand.Rand, line []byte) []byte { return line[:len(line)-2] },
	"tail lost with its terminator": func(rng *rand.Rand, line []byte) []byte {
		return line[:rng.IntN(len(line)-2)]
	},
	"label damaged": func(rng *rand.Rand, line []byte) []byte {
		return append([]byte{"xHp7hP "[rng.IntN(7)], "xHp7hP "[rng.IntN(7)]}, line[2:]...)
	},
}

func labelled(ph float64) string { return fmt.Sprintf("pH %.2f 25.1 C\r\n", ph) }

// A random walk of damaged lines, each with at least one damaged byte, for each
// of the visible faults: not one reading that was not sent.
func TestVisibleFaultsNeverGiveAReading(t *testing.T) {
	for name, hurt := range visible {
		t.Run(name, func(t *testing.T) {
			w := &wire{rng: rand.New(rand.NewPCG(1, 2)), ph: 7, line: labelled, hurt: hurt}
			walk(w, damages(t)/4, false)
			t.Log(w)
			assert.Zero(t, w.wrong)
			assert.Positive(t, w.good)
		})
	}
}

// damages is how many lines to damage: a million, or a fraction of that unless
// HALFDROP_LONG is set.
func damages(t *testing.T) int {
	if os.Getenv("HALFDROP_LONG") != "" {
		return 1_000_000
	}
	const few = 20_000
	t.Logf("SHORTENED: %d damaged lines; set HALFDROP_LONG=1 for a million", few)
	return few
}

// anyDamage replaces, drops or puts in one byte of any kind, digits included.
func anyDamage(rng *rand.Rand, line []byte) []byte {
	i, c := rng.IntN(len(line)), byte(rng.IntN(256))
	out := append([]byte(nil), line[:i]...)
	switch rng.IntN(3) {
	case 0:
		return append(append(out, c), line[i+1:]...)
	case 1:
		return append(out, line[i+1:]...)
	}
	return append(append(out, c), line[i:]...)
}

// With a checksum any damage of one byte is seen.
func TestAnyDamageIsSeenUnderAChecksum(t *testing.T) {
	line := func(ph float64) string { return summed(fmt.Sprintf("XXPHM,%.2f,25.1", ph)) }
	w := &wire{rng: rand.New(rand.NewPCG(3, 4)), ph: 7, line: line, hurt: anyDamage}
	walk(w, damages(t), false)
	t.Log(w)
	assert.Zero(t, w.wrong)
	assert.Positive(t, w.good)
}

// Without a checksum a digit that became another digit cannot be seen in the
// line itself. A guard sees it by the lines around, unless it moves the reading
// by no more than the noise does, or two damaged lines in a row say alike. The
// shares of the damaged lines that give a reading that was not sent, and one
// that was far from it, are measured here and must not grow.
func TestAnyDamageWithoutAChecksum(t *testing.T) {
	for _, tt := range []struct {
		guarded bool
		most    float64
		far     float64
	}{{false, 0.10, 0.10}, {true, 0.0025, 0.0004}} {
		w := &wire{rng: rand.New(rand.NewPCG(5, 6)), ph: 7, line: labelled, hurt: anyDamage}
		walk(w, damages(t), tt.guarded)
		t.Logf("guard %v: %s", tt.guarded, w)
		assert.Less(t, float64(w.wrong)/float64(w.damaged), tt.most)
		assert.Less(t, float64(w.far)/float64(w.damaged), tt.far)
		assert.Greater(t, float64(w.good), 0.8*float64(w.whole))
	}
}

// scan reads the first line in buf as a source does.
func scan(buf []byte) (r frame.Result, n int, err error) {
	line, n := frame.Cut(buf, "")
	if n > 0 {
		r, err = frame.Read(line) // of a terminator alone: an error
	}
	return r, n, err
}

// walk feeds lines through the scanner until so many were damaged, and counts
// the readings and the lies among them. A damaged line may still say the same
// (a lost blank), so the values are compared with those of the last lines; a
// lost terminator joins a line to the next.
func walk(w *wire, damages int, guarded bool) {
	var buf []byte
	var guard guard.Guard
	var recent [3]float64
	at := start
	for i := 0; w.damaged < damages; i++ {
		sent, got := w.next()
		whole, _, _ := scan([]byte(sent))
		recent[i%3] = whole.Reading.Value
		if string(got) != sent {
			w.damaged++
		} else {
			w.whole++
		}
		buf = append(buf, got...)
		for {
			r, n, err := scan(buf)
			if n == 0 {
				break
			}
			buf = buf[n:]
			at = at.Add(time.Second)
			r.Reading.At = at
			if err != nil || guarded && guard.Check(r) != nil {
				continue
			}
			w.good++
			v := r.Reading.Value
			if v != recent[0] && v != recent[1] && v != recent[2] || r.Reading.HasTemp && r.Reading.TempC != whole.Reading.TempC {
				w.wrong++
				if math.Abs(v-whole.Reading.Value) > 0.1 || r.Reading.HasTemp && math.Abs(r.Reading.TempC-whole.Reading.TempC) > 1 {
					w.far++
				}
			}
		}
	}
}

// summed is a sentence with its checksum.
func summed(body string) string {
	return fmt.Sprintf("$%s*%02X\r\n", body, frame.Checksum(body))
}

// start is when the first line came.
var start = time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC)
