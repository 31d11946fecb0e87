package main

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"os"
	"os/signal"
	"slices"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/textfile"
	"example.org/halfdrop/tui/dip"
)

// calibration is what the command line asks for.
type calibration struct {
	line     lineFlags
	port     string
	seed     uint64
	speed    float64
	sends    string
	planPath string
	dip.Wanted
	dip.Keeping
	temp     float64
	operator string
	history  bool
	asJSON   bool
	plain    bool
	typed    bool
	warm     bool // the temperature was given
}

func newCalibrateCommand() *cobra.Command {
	c := &calibration{}
	cmd := &cobra.Command{
		Use:   "calibrate (--port NAME | --sim | --typed) [--standards 7.00,4.01 | --target PH | --plan FILE]",
		Short: "Calibrate the electrode in two or three standards, or check a meter that calibrates itself",
		Long: `Calibrate the electrode in two or three standards, and judge the result.

A meter that sends mV is calibrated here: slope and offset are found and kept.
A meter that sends only pH calibrates itself, and this is a check of it.

Standards: a nominal value as on the bottle. 7.00 is the technical buffer that
has it at 25 °C; 7.00@20 is the liquid that has it at 20 °C, another one; 6.86
is a primary standard. The pH at the measured temperature comes from a table.
Without a list they are taken from the aim: 4.01 with 7.00 for an acidic one,
7.00 with 10.01 for a basic one (common practice, no source).

Interrupted: what was accepted is kept for an hour; calibrating the same electrode
again offers to resume from there.

When: on the day of use (Ph. Eur. 2.2.3); after power-on and every 3–4 h
in many laboratories (common practice, no source).

Read the safety data sheet of each bottle and follow the rules of your
laboratory, for leftovers as well. Never return a used portion to the bottle.`,
		Example: `  halfdrop calibrate --port /dev/ttyUSB0 --electrode E7 --plan hepes.toml
  halfdrop calibrate --port COM3 --standards 7.00,4.01,10.01 --check 9.21
  halfdrop calibrate --sim --speed 10
  halfdrop calibrate --history --electrode E7`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return c.run(cmd) },
	}
	c.flags(cmd)
	return cmd
}

func (c *calibration) flags(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&c.port, "port", "", "serial port `name` of the meter, auto, or tcp://HOST:PORT")
	c.line.add(cmd)
	f.BoolVar(&c.Sim, "sim", false, "calibrate the simulated electrode; kept only with --file")
	f.Uint64Var(&c.seed, "seed", 0, "seed of the simulated electrode; 0 draws one")
	f.Float64Var(&c.speed, "speed", 1, "simulated time runs this many times faster")
	f.StringVar(&c.sends, "send", "mv", "what the simulated meter sends: ph, mv or both")
	f.StringSliceVar(&c.Standards, "standards", nil, "nominal values in the order in which they are read, such as 7.00,4.01")
	f.StringVar(&c.Set, "set", string(standards.Technical), "where to look nominal values up first: technical, primary, technical-20 or technical-7.01")
	f.Float64Var(&c.Target, "target", math.NaN(), "choose standards on both sides of this `pH`")
	f.StringVar(&c.planPath, "plan", "", "choose standards on both sides of the aim of this plan `file`, and read them longer for a tight tolerance")
	f.StringVar(&c.Check, "check", "", "a `standard` that is read last, only as a check")
	f.StringToStringVar(&c.Lots, "lot", nil, "lots for the record: 7.00=A12,4.01=B7")
	f.StringToStringVar(&c.Expiries, "expiry", nil, "good until, for the record: 7.00=2027-03,4.01=2027-06-30")
	f.Float64Var(&c.temp, "temp", 25, "temperature of the standards in °C, in place of what the meter sends; without it a meter that sends none is asked for it")
	f.StringVar(&c.Electrode, "electrode", "", "`name` of the electrode, for its history")
	f.StringVar(&c.operator, "operator", "", "`name` of the operator, for the record")
	f.StringVar(&c.Accept, "accept", "", "use the result even if it is not accepted, with this `reason` in the record")
	f.BoolVar(&c.history, "history", false, "show earlier calibrations and how the electrode changes")
	f.BoolVar(&c.asJSON, "json", false, "with --history: print it as JSON")
	f.StringVar(&c.File, "file", "", "history `file`, instead of the one in the data folder")
	f.BoolVar(&c.typed, "typed", false, "type what the meter shows in each standard, for a meter that is not connected")
	f.BoolVar(&c.plain, "plain", false, "lines of text instead of a screen, suitable for a screen reader")
}

func (c *calibration) usage() error {
	if err := plainWords("--operator", c.operator, "--electrode", c.Electrode, "--accept", c.Accept); err != nil {
		return err
	}
	for _, name := range slices.Sorted(maps.Keys(c.Lots)) { // in order, as below: of two faults the same is said each time
		if err := plainWords("--lot", name+"="+c.Lots[name]); err != nil {
			return err
		}
	}
	for _, marks := range []struct {
		flag string
		list map[string]string
	}{{"--lot", c.Lots}, {"--expiry", c.Expiries}} {
		for _, name := range slices.Sorted(maps.Keys(marks.list)) {
			if strings.TrimSpace(marks.list[name]) == "" {
				return usageError(fmt.Errorf("%s %s=: nothing stands after =", marks.flag, name), "as in --lot 7.00=A12 or --expiry 7.00=2027-03")
			}
		}
	}
	if err := typedHere(c.planPath, "a calibration asks its questions"); err != nil {
		return err
	}
	switch {
	case textfile.IsJournal(c.File):
		return usageError(fmt.Errorf("--file %s is the journal of a run, and no calibrations are written into it", c.File), "name another file, or leave --file out")
	case c.asJSON && !c.history:
		return usageError(errors.New("--json belongs to --history"), "halfdrop calibrate --history --json prints what was kept")
	case !math.IsNaN(c.Target) && len(c.Standards) > 0:
		return usageError(errors.New("--target and --standards exclude each other"), "--target chooses the standards; leave one out")
	case !math.IsNaN(c.Target) && !(c.Target >= 0 && c.Target <= 14):
		return usageError(fmt.Errorf("--target %g is outside 0–14", c.Target), "give the pH that the electrode is to measure")
	case c.history && (c.Sim || c.port != ""):
		return usageError(errors.New("--history shows what was kept and calibrates nothing"), "leave --port and --sim out")
	case c.history:
		return nil
	case c.typed && (c.Sim || c.port != ""):
		return usageError(errors.New("--typed is for a meter that is not connected"), "leave --sim and --port out")
	case !(c.temp >= 0.5 && c.temp <= 60):
		return usageError(fmt.Errorf("--temp %g is outside 0.5–60 °C", c.temp))
	case c.typed:
	case c.Sim && c.port != "":
		return usageError(errors.New("--sim and --port exclude each other"), "leave one out")
	case !c.Sim && c.port == "":
		return usageError(errors.New("no source of readings"), "try --sim, --port NAME or --meter NAME; halfdrop ports lists the ports")
	case c.port == serial.Stdin:
		return usageError(errors.New("a calibration asks its questions on standard input, so the meter cannot use it too"), "name the port of the meter")
	case !(c.speed >= 0.1 && c.speed <= 1000):
		return usageError(fmt.Errorf("--speed %g is outside 0.1–1000", c.speed))
	case !c.Sim && c.speed != 1:
		return usageError(errors.New("--speed is for the simulator"), "a real meter runs at its own speed")
	}
	for _, name := range slices.Sorted(maps.Keys(c.Expiries)) {
		if date := c.Expiries[name]; !calib.GoodExpiry(date) {
			return usageError(fmt.Errorf("--expiry %s=%s: %q is not a date", name, date, date), "write 2027-03 or 2027-03-31")
		}
	}
	return nil
}

func (c *calibration) run(cmd *cobra.Command) error {
	c.warm = cmd.Flags().Changed("temp")
	if err := c.line.Choose(c.Sim || c.history || c.typed, &c.port); err != nil {
		return err
	}
	if err := c.usage(); err != nil {
		return err
	}
	if c.history {
		return paged(cmd, func(out io.Writer) error { return c.ShowHistory(out, cmd.ErrOrStderr(), c.asJSON) })
	}
	if c.planPath != "" {
		p, err := planfile.Load(c.planPath)
		if err != nil {
			return err
		}
		c.Plan = &p
	}
	choices, why, err := c.Choices()
	if err != nil {
		return err
	}
	earlier, err := c.Known(cmd.ErrOrStderr())
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(cmd.Context(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	r, err := c.rig(ctx, cmd.ErrOrStderr())
	if err != nil {
		return err
	}
	r.Proc = walk.NewProcedure(choices, chem.Celsius(c.temp), r.Wall)
	r.Proc.Wants(c.Tolerance())
	if c.warm {
		r.Proc.Warm(chem.Celsius(c.temp))
	}
	if list := r.Proc.Impossible(); c.warm && len(list) > 0 {
		return usageError(fmt.Errorf("nothing is known of %s", strings.Join(list, ", nor of ")), "use other standards, or let them come to bench temperature")
	}
	r.Out, r.Talk = cmd.OutOrStdout(), cmd.ErrOrStderr()
	dip.Introduce(r.Talk, choices, why)
	if err := c.Offer(r); err != nil {
		return err
	}
	if err := c.front(ctx, cmd, r); err != nil {
		return err
	}
	points, check := r.Proc.Points()
	about := calib.About{Electrode: c.Electrode, Meter: r.Source.String(), Operator: c.operator, At: r.Wall(r.Now()), Earlier: earlier}
	result, err := calib.Judge(about, points, check)
	if err != nil {
		return r.Kept(err)
	}
	return c.Conclude(r, c.Insist(result))
}
