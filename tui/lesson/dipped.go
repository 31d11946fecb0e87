package lesson

import (
	"context"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/station"
	"example.org/halfdrop/tui/dip"
)

// calibrate leads through a calibration, where the exercise asks for one.
func (s *stand) calibrate(ctx context.Context, front practiceFront) (*calib.Calibration, error) {
	if s.e.Calibrate == nil {
		return nil, nil
	}
	for {
		n, err := front.standards(ctx, s.e.Calibrate.Choices)
		if err != nil {
			return nil, err
		}
		r, err := s.rig(s.e.Calibrate.Choices[n])
		if err != nil {
			return nil, err
		}
		if err := front.dip(ctx, r); err != nil {
			return nil, err
		}
		points, check := r.Proc.Points()
		c, err := calib.Judge(calib.About{Meter: s.source.String(), At: s.wall(s.clock.Seconds())}, points, check)
		if err != nil {
			return nil, err
		}
		if err := front.told(ctx, c); err != nil {
			return nil, err
		}
		if c.Usable() {
			s.bench.Back()
			return &c, nil
		}
	}
}

// rig is the meter of the stand with the standards of a list.
func (s *stand) rig(names []string) (*dip.Rig, error) {
	var choices []walk.Choice
	for _, name := range names {
		st, err := standards.Find(name, standards.Technical)
		if err != nil {
			return nil, err
		}
		choices = append(choices, walk.Choice{Standard: st})
	}
	proc := walk.NewProcedure(choices, chem.Celsius(s.bench.TempShown()), s.wall)
	return &dip.Rig{Source: s.source, Now: s.clock.Seconds, Wall: s.wall, Rinse: s.bench.Rinse, Into: station.Hand(s.bench), Proc: proc}, nil
}
