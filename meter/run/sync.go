package run

import "example.org/halfdrop/meter/phrase"

// syncer is a log whose events can wait for the disk.
type syncer interface{ Sync() error }

// Sync brings to the disk what waits for it, to be called while no event
// comes: a meter that falls silent must not leave its last readings in memory,
// and a file that has gone must show. A failure is kept as Alarm.
func (k *Keeper) Sync() {
	l, ok := k.log.(syncer)
	if !ok {
		return
	}
	if err := l.Sync(); err != nil {
		k.Alarm = "not being recorded: " + phrase.Plain(err).Error()
	}
}
