// Command halfdrop coaches a person at the stir plate in bringing a solution
// to an exact pH: it reads the meter, compares with the predicted titration
// curve and says how many drops of which titrant to add next.
package main

import (
	"context"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"time"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/tui/terminal"
	"github.com/spf13/cobra"
)

func main() {
	lastResort(os.Exit)
	os.Exit(execute(os.Args[1:]))
}

// hangupTime is how long a program may take to end in good order once its terminal is
// closed. Nobody is there then who could end it by hand, and what is on record is on the
// disk. Well above what an end takes (0.1 s measured, five programs on two cores).
const hangupTime = 3 * time.Second

// lastResort ends the program on a hangup: at once where nothing is to be put in order,
// else after hangupTime, whatever it is doing then.
func lastResort(exit func(int)) {
	if signal.Ignored(syscall.SIGHUP) {
		return // under nohup it is to go on
	}
	got := make(chan os.Signal, 1)
	signal.Notify(got, syscall.SIGHUP)
	go func() {
		<-got
		if remedy.EndsInOrder() {
			time.Sleep(hangupTime)
		}
		exit(128 + int(syscall.SIGHUP))
	}()
}

// execute runs the command line and is the exit status.
func execute(args []string) int {
	root := newRootCommand()
	if len(args) > 0 && strings.HasPrefix(args[0], cobra.ShellCompRequestCmd) {
		manners.PlainUsage(root)
	}
	defer manners.DropSpooled()
	root.SetArgs(args)
	talk := intake.NewWriter(manners.TalkTo(os.Stderr, os.Stderr)) // what a file or a meter holds does nothing to the terminal
	manners.ToPeople = talk
	root.SetErr(talk)
	err := root.ExecuteContext(context.Background())
	defer hush(err)
	return manners.Tell(talk, err)
}

func newRootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:   "halfdrop",
		Short: "Coached titration of a buffer to an exact pH",
		Long: `Coached titration of a buffer to an exact pH: what to weigh, how to calibrate,
how many drops of which titrant to add next, when to wait and when to stop.

On a terminal halfdrop alone shows the tasks to choose from. Defaults of your own
are kept in a file, see halfdrop config; runs are kept in the data folder of the
system. NO_COLOR leaves colours out.`,
		Example: `  halfdrop titrate --sim
  halfdrop plan --ph 7.4 --mM 50 --ml 500 --out hepes.toml
  halfdrop titrate --port auto --plan hepes.toml`,
		SilenceErrors: true,
		SilenceUsage:  true,
		Version:       version(),
		Args:          cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if terminal.OnScreen(os.Stdin, os.Stdout) {
				return atHome(cmd)
			}
			return cmd.Help()
		},
	}
	addFaceFlags(root)
	root.PersistentPreRunE = func(cmd *cobra.Command, args []string) error {
		if err := manners.ApplyDefaults(cmd); err != nil {
			return err
		}
		if err := manners.TakeStandardInput(cmd, args); err != nil {
			return err
		}
		return checkFace()
	}
	cobra.EnableCommandSorting = false // they are listed in the order of the work
	root.AddCommand(
		newAdviseCommand(),
		newBenchCommand(),
		newCheckCommand(),
		newPhCommand(),
		newPlanCommand(),
		newPortsCommand(),
		newTrialCommand(),
		newCurveCommand(),
		newFindCommand(),
		newTitrateCommand(),
		newReplayCommand(),
		newReportCommand(),
		newLabelCommand(),
		newCalibrateCommand(),
		newSimCommand(),
		newPracticeCommand(),
		newConfigCommand(),
		newManCommand(),
	)
	completeFlags(root)
	root.InitDefaultCompletionCmd()
	root.InitDefaultHelpCmd()
	for _, c := range root.Commands() {
		switch c.Name() {
		case "completion":
			c.Short = "Script that lets a shell complete commands, flags and their values"
			c.Example = "  source <(halfdrop completion bash)\n  halfdrop completion fish > ~/.config/fish/completions/halfdrop.fish"
			c.Long = "Prints a script that lets a shell complete commands, flags and their values. The\nhelp of each shell says where the script goes."
			c.Args = cobra.NoArgs
			for _, shell := range c.Commands() {
				shell.Short = "The script for " + shell.Name()
				if script := shell.RunE; shell.Name() == "bash" {
					shell.RunE = func(c *cobra.Command, args []string) error {
						if _, err := io.WriteString(c.OutOrStdout(), manners.BashWords); err != nil {
							return err
						}
						return script(c, args)
					}
				}
			}
			c.RunE = func(c *cobra.Command, _ []string) error { return c.Help() }
		case "help":
			c.Short = "Help for a command"
			c.RunE = func(c *cobra.Command, args []string) error {
				about, err := manners.Command(c.Root(), args)
				if err != nil {
					return err
				}
				return about.Help()
			}
		}
	}
	manners.OwnWords(root)
	root.SetHelpFunc(func(cmd *cobra.Command, _ []string) {
		_ = paged(cmd, func(w io.Writer) error { manners.WriteHelp(w, cmd); return nil })
	})
	return root
}
