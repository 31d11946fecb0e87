// Command halfdrop coaches a person at the stir plate in bringing a solution
// to an exact pH: it reads the meter, compares with the predicted titration
// curve and says how many drops of which titrant to add next.
package main

import (
	"context"
	"os"

	"example.org/halfdrop/meter/intake"
	"github.com/spf13/cobra"
)

func main() { os.Exit(execute(os.Args[1:])) }

// execute runs the command line and is the exit status.
func execute(args []string) int {
	root := newRootCommand()
	root.SetArgs(args)
	talk := intake.NewWriter(os.Stderr) // what a file or a meter holds does nothing to the terminal
	root.SetErr(talk)
	return tell(talk, root.ExecuteContext(context.Background()))
}

func newRootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:   "halfdrop",
		Short: "Coached titration of a buffer to an exact pH",
		Long: `Coached titration of a buffer to an exact pH: what to weigh, how to calibrate,
how many drops of which titrant to add next, when to wait and when to stop.

Exit statuses: 0 done, 1 failed, 2 called wrongly or a slip in a file of your
own, 3 a run ended outside the tolerance or was not read at rest, 4 a journal is
damaged, 129, 130 and 143 ended by hanging up, an interrupt or a request to end.

Defaults of your own are kept in a file, see halfdrop config. NO_COLOR leaves
colours out; ` + configEnv + ` names another file of defaults; runs are kept in the
data folder of the system.`,
		SilenceErrors: true,
		SilenceUsage:  true,
		Version:       version(),
		Args:          cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if onTerminal() {
				return home(cmd)
			}
			return cmd.Help()
		},
	}
	addFaceFlags(root)
	root.PersistentPreRunE = func(cmd *cobra.Command, _ []string) error { return applyDefaults(cmd) }
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		return usageError(err, "see "+cmd.CommandPath()+" --help")
	})
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
		newCalibrateCommand(),
		newSimCommand(),
		newPracticeCommand(),
		newConfigCommand(),
		newManCommand(),
	)
	completeFlags(root)
	return root
}
