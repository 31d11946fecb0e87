package frame

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/meter"
)

// words are the words that a line may hold, in lower case: labels, units,
// status words, and what other quantities and calibrations are called. Words of
// other languages are those that stand on the displays of instruments (common
// practice, no source).
var words = dictionary(map[token]string{
	{kind: tokLabel}:            "ph, ph value, ph-value, odczyn ph, ph-wert, ph wert, valeur ph, valor ph, valore ph",
	{kind: tokMV}:               "mv, millivolt, millivolts",
	{kind: tokTemp}:             "t, tmp, temp, t1, temp1, temperature, temperatur, température, temperatura, temperatuur, temp.",
	{kind: tokUnit, text: "C"}:  "c, °c, degc, deg c, ° c, cel, celsius, grad c, gr. c, gr c, grd c, st. c, st.c, st c",
	{kind: tokUnit, text: "F"}:  "f, °f, degf, deg f, ° f, fahrenheit",
	{kind: tokUnit, text: "K"}:  "k, kelvin",
	{kind: tokOther}:            "orp, redox, eh, rel mv, rmv, ec, cond, cond., conductivity, leitfähigkeit, conductivité, tds, do, o2, sal, salinity, res, ise, conc, slope, steilheit, pente, id, sample, probe, record, rec, user, method",
	{kind: tokOther, text: "t"}: "time, date, zeit, datum, uhrzeit, heure, hora, fecha, tijd, elapsed",
	{kind: tokOther, text: "u"}: "%, ms/cm, us/cm, µs/cm, μs/cm, ms, us, µs, mg/l, g/l, ppm, ppt, v, ml, ul, µl, l, s, sec, min, h, ohm, mohm, m, mm, g, mg",
	{kind: tokNoise}:            "pv, meas, meas., measure, measurement, measured, mode, reading, value, result, messwert, messung, mesure, résultat, ergebnis, resultado, medida",
	{kind: tokCalibration}: "cal, calib, calib., calibration, calibrated, calibrate, calibrating, buffer, buf, buffers, standard, standards, std, offset, efficiency, eff, asymmetry, zero, " +
		"kalibrierung, kalibriert, kal, puffer, nullpunkt, étalonnage, tampon, calibración, calibrazione, kalibratie",
	{kind: tokStatus, flags: meter.Stable}:     "stable, stab, st, settled, ready, stabil, stabilny, estable, stabile, stabiel, end, endpoint",
	{kind: tokStatus, flags: meter.Unstable}:   "unstable, us., not stable, not ready, drifting, drift, measuring, wait, instabil, unstabil, instable, inestable, instabile, onstabiel, nicht stabil",
	{kind: tokStatus}:                          "atc, auto, ok, *, /a/",
	{kind: tokStatus, flags: meter.TempByHand}: "mtc, manual, man, manuell, manuel, /m/",
	{kind: tokRange, flags: meter.OverRange}:   "over, over range, over-range, overrange, ovr, ol",
	{kind: tokRange, flags: meter.UnderRange}:  "under, under range, under-range, underrange, udr, ul.",
	{kind: tokRange, flags: meter.NoProbe}:     "no probe, no electrode, no sensor",
	{kind: tokNoValue}:                         "nan",
	{kind: tokHold}:                            "hold, held, hld, autohold, auto-hold, frozen, locked",
})

// firstWords are words that mean something else when a line begins with them:
// US is unstable before a reading and microsiemens after a number.
var firstWords = map[string]token{
	"us": {kind: tokStatus, flags: meter.Unstable}, "ul": {kind: tokRange, flags: meter.UnderRange},
}

// dictionary turns a list of words for each meaning into a meaning for each word.
func dictionary(lists map[token]string) map[string]token {
	out := map[string]token{}
	for t, list := range lists {
		for _, w := range strings.Split(list, ", ") {
			if _, twice := out[w]; twice {
				panic("frame: the word " + w + " has two meanings")
			}
			out[w] = t
		}
	}
	return out
}

// monthNames are the months in the short forms of several languages; those that
// are longer begin with one of them.
var monthNames = strings.Fields("jan feb mar mär mrz fév fev apr avr abr may mai mag maj mei jun jui giu jul jul lug aug aoû aou ago sep set okt oct ott nov dec dez déc dic des")

// sentence reads a line such as $XXPHM,7.021,25.1*5A: a name, fields, and the
// exclusive-or of all bytes between $ and * in two hexadecimal digits, in the
// manner of NMEA 0183. A sentence without a checksum is no reading, and one
// whose name and fields do not say pH or mV is that of another instrument.
func sentence(s string) (Result, error) {
	body, sum, ok := strings.Cut(s[1:], "*")
	want, err := strconv.ParseUint(sum, 16, 8)
	if !ok || err != nil || len(sum) != 2 {
		return Result{}, fmt.Errorf("%w: a sentence without its checksum", meter.ErrNotReading)
	}
	if byte(want) != Checksum(body) {
		return Result{}, ErrChecksum
	}
	name, fields, _ := strings.Cut(body, ",")
	tokens, err := lex(fields, '.')
	if err != nil {
		return Result{}, err
	}
	if !slices.ContainsFunc(tokens, func(t token) bool { return t.kind == tokLabel || t.kind == tokMV }) {
		// Two letters say who talks, the rest what: GPHDT is a heading.
		if len(name) < 4 || !strings.HasPrefix(strings.ToUpper(name[2:]), "PH") {
			return Result{}, fmt.Errorf("%w: sentence %q says neither pH nor mV", meter.ErrNotReading, name)
		}
		tokens = append([]token{{kind: tokLabel, binds: true}}, tokens...)
	}
	r, err := match(tokens)
	r.Form.Shape = "checksum sentence: " + r.Form.Shape
	return r, err
}

// Checksum is the exclusive-or of the bytes of s.
func Checksum(s string) (sum byte) {
	for i := range len(s) {
		sum ^= s[i]
	}
	return sum
}
