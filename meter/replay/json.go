package replay

import (
	"encoding/json"
	"math"

	"example.org/halfdrop/meter/phrase"
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
	}{phrase.Decimals(s.T, 4), finite(s.Shown), finite(s.PH), finite(s.SD), s.Settled, phrase.Decimals(s.TempC, 4), finite(s.Aim)})
}

func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	x = phrase.Decimals(x, 4)
	return &x
}
