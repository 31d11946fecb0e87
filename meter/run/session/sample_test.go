package session_test

import "example.org/halfdrop/meter/run/runtest"

var tris, wall, first = runtest.Tris, runtest.Wall, runtest.First
