package main

import (
	"example.org/halfdrop/meter/link"
	"example.org/halfdrop/tui"
)

// looks are how the screen looks, with the keys from the terminal when standard
// input is the meter.
func looks(port string) tui.Options {
	o := face
	if tty := link.Terminal(port); tty != nil {
		o.In = tty
	}
	return o
}
