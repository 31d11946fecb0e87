package main

import (
	"os"

	"example.org/halfdrop/tui"
	"github.com/mattn/go-isatty"
	"github.com/spf13/cobra"
)

// face is how the screens of this process look and sound. It is set once, by
// the flags, before any of them is drawn.
var face tui.Options

// addFaceFlags gives every command the flags of the screens.
func addFaceFlags(root *cobra.Command) {
	face = tui.Options{}
	f := root.PersistentFlags()
	f.BoolVar(&face.ASCII, "ascii", false, "letters instead of blocks and braille on the screen")
	f.BoolVar(&face.Bell, "bell", false, "ring when there is something to add, at the end and at a check")
}

// onTerminal reports whether a screen can be shown and keys can be read.
func onTerminal() bool {
	return os.Getenv("TERM") != "dumb" && isatty.IsTerminal(os.Stdin.Fd()) && isatty.IsTerminal(os.Stdout.Fd())
}
