package main

import (
	"errors"
	"path/filepath"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/protocol"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/textfile"
	"github.com/spf13/cobra"
)

func newAdviseCommand() *cobra.Command {
	var plan, file string
	var resume bool
	var m shelf.Memory
	c := &cobra.Command{
		Use:     "advise (--plan FILE [--journal FILE] | --resume --journal FILE)",
		Short:   "The coach as a filter: one JSON line in, one JSON line out",
		Long:    protocol.Long,
		Example: "  halfdrop advise --plan hepes.toml --journal run.jsonl\n  meter-to-json | halfdrop advise --plan hepes.toml | lamp",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := plainWords("--electrode", m.Electrode); err != nil {
				return err
			}
			open := func() (*protocol.Filter, func(), error) {
				return protocol.Open(madeBy(), plan, file, m, cmd.ErrOrStderr())
			}
			switch {
			case resume && (file == "" || plan != ""):
				return usageError(errors.New("--resume goes with --journal FILE and takes the plan from it"))
			case resume:
				open = func() (*protocol.Filter, func(), error) {
					defer manners.Busy(cmd.ErrOrStderr(), "reading "+filepath.Base(file))()
					return protocol.Resume(file, m, cmd.ErrOrStderr())
				}
			case plan == textfile.StandardInput:
				return typedHere(plan, "the lines of the protocol come")
			case plan == "":
				return usageError(errors.New("no plan"), "give one with --plan FILE")
			}
			a, done, err := open()
			if err != nil {
				return err
			}
			defer done()
			return a.Run(cmd.InOrStdin(), cmd.OutOrStdout())
		},
	}
	c.Flags().StringVar(&plan, "plan", "", "plan `file` (TOML)")
	c.Flags().StringVar(&file, "journal", "", "journal `file` to write; none is kept without it")
	c.Flags().StringVar(&m.Electrode, "electrode", "", "`name` of the electrode, under which it is remembered")
	c.Flags().StringVar(&m.Path, "bench", "", "`file` of what is known of droppers, bottles and electrodes, instead of the one in the data folder")
	c.Flags().BoolVar(&m.Forget, "forget", false, "start without what earlier runs have shown; a run that ends well replaces it")
	c.Flags().BoolVar(&resume, "resume", false, "resume the run in the journal")
	return c
}
