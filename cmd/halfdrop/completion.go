package main

import (
	"slices"

	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/tui"
	"github.com/spf13/cobra"
)

// What a shell may offer after a flag, whichever command it belongs to.
var (
	flagFiles = map[string]string{"plan": "toml", "dialect": "toml", "exercise": "toml", "journal": "jsonl", "html": "html"}
	flagWords = map[string][]string{
		"tier": {"ordinary", "harsh"}, "coach": {"full", "ask", "off"}, "send": {"ph", "mv", "both"},
		"background": tui.Grounds, "set": {"technical", "primary", "technical-20", "technical-7.01"}, "way": {"titrate", "salts"},
	}
	flagFolders = []string{"folder", "results", "dir"}
)

// completeFlags tells the shells what may follow the flags of a command and of
// those below it.
func completeFlags(c *cobra.Command) {
	for name, kind := range flagFiles {
		if c.Flags().Lookup(name) != nil {
			_ = c.MarkFlagFilename(name, kind) // fails for an unknown flag only
		}
	}
	for _, name := range flagFolders {
		if c.Flags().Lookup(name) != nil {
			_ = c.MarkFlagDirname(name)
		}
	}
	for name, words := range flagWords {
		offer(c, name, func() []string { return words })
	}
	for _, name := range []string{"port", "listen"} {
		offer(c, name, portNames)
	}
	offer(c, "meter", knownMeters)
	offer(c, "buffer", buffers)
	for _, sub := range c.Commands() {
		completeFlags(sub)
	}
}

// offer offers words after a flag, when the command has it and nothing is
// offered yet.
func offer(c *cobra.Command, name string, words func() []string) {
	if c.Flags().Lookup(name) == nil {
		return
	}
	_ = c.RegisterFlagCompletionFunc(name, func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return words(), cobra.ShellCompDirectiveNoFileComp
	})
}

// portNames are the serial ports of the machine, and auto.
func portNames() []string {
	names := []string{"auto"}
	list, err := serial.List()
	if err != nil {
		return names // a shell has no place for an error
	}
	for _, p := range list {
		names = append(names, p.Name)
	}
	return names
}

// buffers are the names of the buffering substances.
func buffers() []string {
	var names []string
	for _, r := range table.Reagents() {
		if len(r.Parts) > 0 && r.Solid() && !slices.Contains(names, r.Name) {
			names = append(names, r.Name)
		}
	}
	slices.Sort(names)
	return names
}
