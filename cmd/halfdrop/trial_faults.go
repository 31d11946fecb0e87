package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"

	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/trial"
)

// watchedNote says what the table of faults is about.
const watchedNote = `A careful person follows the coach with half of the advised amount at a time, looks
for half a minute after each addition, looks away once for two minutes and stays
for a few minutes at the end. Each fault has its usual strength (carbon dioxide
five times that) and is there from the start or sets in after one or two minutes.
Left out are benches on which it cannot show: factors within ordinary care, less
than 0.02 pH a minute of carbon dioxide, a hanging drop among more than forty.

`

// confuse plays benches with every fault and prints what was named first.
func (f *trialFlags) confuse(ctx context.Context, out, talk io.Writer) error {
	o, err := f.options()
	if err != nil {
		return err
	}
	var names []string
	for _, k := range sim.Faults() {
		names = append(names, k.Name)
	}
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt)
	defer stop()
	sights, err := trial.WatchAll(ctx, o.Tier, names, o.Runs, f.sound, o.Seed, o.Workers, f.progress(talk))
	f.clearProgress(talk)
	if err != nil {
		return err
	}
	if _, err := fmt.Fprint(out, watchedNote); err != nil {
		return err
	}
	if err := trial.Name(sights).WriteText(out); err != nil {
		return err
	}
	for i, s := range trial.Wrong(sights) {
		if i >= f.wrong {
			break
		}
		fmt.Fprintf(out, "%s\n", s)
	}
	return nil
}
