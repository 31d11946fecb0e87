package main

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"time"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
)

// tellCalibration puts the last calibration of the electrode into the run, or
// that none is known, and says what is to be said of it. The simulated bench
// is calibrated by its truth and is told nothing.
func (t *titration) tellCalibration(k *run.Keeper, talk io.Writer) error {
	if t.sim {
		return nil
	}
	runs, err := journal.DefaultFolder()
	if err != nil {
		return withHint(err, "name a journal with --journal FILE")
	}
	h, err := loadHistory(filepath.Join(filepath.Dir(runs), "calibrations.jsonl"))
	if err != nil {
		return err
	}
	aim := k.State.Forecast().Aim
	c, findings := h.For(calib.Use{At: time.Now(), Electrode: t.electrode, Target: aim, Present: math.NaN(), TempC: math.NaN()})
	payload := []byte("null")
	if len(c.Points) > 0 {
		if payload, err = json.Marshal(c); err != nil {
			return fmt.Errorf("calibration: %w", err)
		}
	}
	for _, f := range findings {
		if f.Level == calib.Remark || f.Level == calib.Stop {
			fmt.Fprintf(talk, "halfdrop: note: %s\n", f.Text)
		}
	}
	return k.Take(journal.Event{T: k.State.T, Kind: journal.Calibrated, Calibration: payload})
}
