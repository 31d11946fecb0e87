package keep

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/calib"
)

// Which findings take the drops of a run away: a stop that says that the line is another
// one, and a slope that has changed; not age, bracket or a shift within the tolerance.
func TestWhichFindingsFalsifyDrops(t *testing.T) {
	for code, from := range map[calib.Code]calib.Level{
		calib.CodeRefused: calib.Stop, calib.CodeElectrode: calib.Stop, calib.CodeShift: calib.Stop, calib.CodeAlike: calib.Stop,
		calib.CodeSlope: calib.Remark, calib.CodeAge: "", calib.CodeBracket: "", calib.CodeLoose: "", calib.CodeMismatch: "", calib.CodeNone: "",
	} {
		for i, level := range []calib.Level{calib.Pass, calib.Note, calib.Remark, calib.Stop} {
			want := from == calib.Stop && i == 3 || from == calib.Remark && i >= 2
			assert.Equal(t, want, falsified([]calib.Finding{{Code: calib.CodeAge}, {Code: code, Level: level}}), "%s %s", code, level)
		}
	}
}
