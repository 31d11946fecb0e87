package replay

import (
	"encoding/json"
	"math"
)

// MarshalJSON leaves out what is not a number: a composition may have been
// left without a reading.
func (s Standing) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		T       float64  `json:"t"`
		Shown   *float64 `json:"shown"`
		PH      *float64 `json:"ph"`
		SD      *float64 `json:"sd"`
		Settled bool     `json:"settled"`
		TempC   float64  `json:"temp_c"`
		Aim     *float64 `json:"aim"`
	}{digits(s.T), finite(s.Shown), finite(s.PH), finite(s.SD), s.Settled, digits(s.TempC), finite(s.Aim)})
}

func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	x = digits(x)
	return &x
}

// digits rounds to a tenth of a millisecond or of a thousandth of pH.
func digits(x float64) float64 { return math.Round(x*1e4) / 1e4 }
