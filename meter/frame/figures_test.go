package frame

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter"
)

// The figures of judgement of this room, each held by the step at which the answer changes.

func TestLimitsOfASpec(t *testing.T) {
	words := func(n int) map[string]string {
		m := map[string]string{}
		for i := range n {
			m[fmt.Sprintf("w%d", i)] = "pH"
		}
		return m
	}
	columns := func(n int) []Role {
		list := []Role{RolePH}
		for len(list) < n {
			list = append(list, RoleIgnore)
		}
		return list
	}
	for name, of := range map[string]struct {
		most int
		spec func(n int) Spec
	}{
		"pattern":    {500, func(n int) Spec { return Spec{Skip: []string{strings.Repeat("x", n)}} }},
		"skip":       {50, func(n int) Spec { return Spec{Skip: make([]string, n)} }},
		"words":      {100, func(n int) Spec { return Spec{Words: words(n)} }},
		"join_lines": {40, func(n int) Spec { return Spec{JoinFrom: "x", JoinLines: n} }},
		"columns":    {64, func(n int) Spec { return Spec{Separator: ",", Columns: columns(n)} }},
		"channel":    {16, func(n int) Spec { return Spec{Channel: strings.Repeat("c", n)} }},
	} {
		_, err := NewDialect(of.spec(of.most))
		assert.NoError(t, err, "%s: %d", name, of.most)
		_, err = NewDialect(of.spec(of.most + 1))
		assert.Error(t, err, "%s: %d", name, of.most+1)
	}
}

// A line may hold ten numbers, three of them without a name beside a pH, and 255 bytes.
func TestLimitsOfALine(t *testing.T) {
	numbers := func(n int) string { return "pH 7.02" + strings.Repeat(" 1.5", n-1) }
	_, err := Read([]byte(numbers(4)))
	assert.NoError(t, err)
	_, err = Read([]byte(numbers(5)))
	assert.ErrorIs(t, err, ErrUnnamed)
	_, err = Read([]byte(numbers(10)))
	assert.ErrorIs(t, err, ErrUnnamed)
	_, err = Read([]byte(numbers(11)))
	assert.ErrorContains(t, err, "more than 10 numbers")
	_, err = Read([]byte(strings.Repeat("x", 255)))
	assert.NotErrorIs(t, err, ErrTooLong)
	_, err = Read([]byte(strings.Repeat("x", 256)))
	assert.ErrorIs(t, err, ErrTooLong)
}

// From 9.9E37 on a number is out of range (SCPI-1999, volume 1, section 7.2.1: from memory).
func TestNumbersThatAreNone(t *testing.T) {
	for text, flag := range map[string]meter.Flags{"9.8": 0, "9.9": meter.OverRange, "-9.8": 0, "-9.9": meter.UnderRange} {
		sign := text[:len(text)-3]
		assert.Equal(t, flag, numberToken(sign, "9", text[len(text)-1:], "37").flags, text)
	}
}

// With fewer than four bytes a parity is not told from an alphabet.
func TestParityOfAFewBytes(t *testing.T) {
	assert.Equal(t, Wide, ParityOf([]byte{0xb7, 0xae, 0xb0}))
	assert.Equal(t, Mark, ParityOf([]byte{0xb7, 0xae, 0xb0, 0xb2}))
}

func TestBeginningsForMessages(t *testing.T) {
	assert.Equal(t, "abcdefghijkl", head("abcdefghijkl"))
	assert.Equal(t, "abcdefghijkl…", head("abcdefghijklm"))
}
