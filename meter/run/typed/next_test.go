package typed_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/run/typed"
	"example.org/halfdrop/meter/run/view"
)

// The next value is wanted when an addition has mixed in, 8 s, and an electrode has come to
// rest, four of its time constants (98 % of the way), in steps of what is told, between 20
// and 60 s; then every 20 s, 40 s of one that stands, and at once where there is none to go by.
func TestWhenAValueIsWanted(t *testing.T) {
	for name, tt := range map[string]struct {
		w    typed.Wanted
		next *view.Next
	}{
		"nothing else to do":    {typed.Wanted{Last: 100}, nil},
		"in a standard":         {typed.Wanted{Away: true, Last: 100}, &view.Next{Stands: true}},
		"back from it":          {typed.Wanted{Away: true, Back: true, Waits: true}, nil},
		"none to go by":         {typed.Wanted{Waits: true, Nothing: true}, &view.Next{}},
		"a quick electrode":     {typed.Wanted{Waits: true, Unread: true, From: 100, Tau: 1}, &view.Next{In: 10, Mixing: true}},
		"a usual one":           {typed.Wanted{Waits: true, Unread: true, From: 100, Tau: 7}, &view.Next{In: 30, Mixing: true}},
		"a slow one":            {typed.Wanted{Waits: true, Unread: true, From: 100, Tau: 30}, &view.Next{In: 50, Mixing: true}},
		"another":               {typed.Wanted{Waits: true, Last: 100}, &view.Next{In: 10}},
		"one that stands":       {typed.Wanted{Waits: true, Stands: true, Last: 100}, &view.Next{In: 30, Creeps: true}},
		"stands, and hands off": {typed.Wanted{Waits: true, Stands: true, HandsOff: true, Last: 100}, &view.Next{In: 10, Stands: true}},
	} {
		assert.Equal(t, tt.next, tt.w.Next(110), name)
	}
}
