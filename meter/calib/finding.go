package calib

// Level is how much a finding weighs. The heaviest decides the verdict.
type Level string

// The levels, lightest first.
const (
	Pass   Level = "pass"   // within the limit
	Note   Level = "note"   // worth knowing, changes nothing
	Remark Level = "remark" // allowed, and goes with the record
	Stop   Level = "stop"   // not to be used as it is
)

// Code names a finding for programs.
type Code string

// The codes.
const (
	CodeSlope       Code = "slope"
	CodeOffset      Code = "offset"
	CodeResidual    Code = "residual"
	CodeShown       Code = "shown"       // what a meter shows by its own calibration
	CodeSpan        Code = "span"        // distance of the standards
	CodeSpread      Code = "temperature" // of the standards among each other, or not measured
	CodeCheck       Code = "check"
	CodeShift       Code = "shift" // of a check in use, at the aim
	CodeAlike       Code = "alike"
	CodeSwapped     Code = "swapped"
	CodeReversed    Code = "reversed"
	CodeOther       Code = "other_standard"
	CodeStale       Code = "stale_alkaline"
	CodeAltered     Code = "altered_standard"
	CodeWater       Code = "no_buffer"
	CodeSame        Code = "same_beaker"
	CodeTemp        Code = "wrong_temperature"
	CodeUndecided   Code = "undecided"
	CodeTwo         Code = "two_standards" // that tell nothing of each other
	CodeStep        Code = "step"          // against earlier calibrations of the electrode
	CodeAgeing      Code = "ageing"        // as they fell slowly
	CodeSlow        Code = "slow"
	CodeNoise       Code = "noise"
	CodeByHand      Code = "by_hand"
	CodeTyped       Code = "typed"
	CodeExpired     Code = "expired"
	CodeMemory      Code = "from_memory"
	CodeNone        Code = "uncalibrated"
	CodeRefused     Code = "not_accepted"
	CodeAge         Code = "age"
	CodeBracket     Code = "bracket"
	CodeMismatch    Code = "other_temperature"
	CodeElectrode   Code = "other_electrode"
	CodeMisfit      Code = "other_meter" // what is kept and what the meter sends do not go together
	CodeLoose       Code = "loose"       // too little known for the tolerance
	CodeOwnInternal Code = "meter_calibrates"
)

// Finding is one thing that was judged: the figure and the limit in words, and
// what the limit rests on.
type Finding struct {
	Code  Code   `json:"code"`
	Level Level  `json:"level"`
	Text  string `json:"text"`
	Basis string `json:"basis,omitempty"`
}

// Verdict is the judgement of a calibration.
type Verdict string

// The verdicts.
const (
	Accepted   Verdict = "accepted"
	WithRemark Verdict = "remark" // allowed, with what is to be noted
	Refused    Verdict = "refused"
)

// Words are the verdict for people.
func (v Verdict) Words() string {
	switch v {
	case Accepted:
		return "accepted"
	case WithRemark:
		return "allowed, with a remark"
	}
	return "not accepted"
}

// verdict is what the heaviest finding makes of it.
func verdict(list []Finding) Verdict {
	v := Accepted
	for _, f := range list {
		switch f.Level {
		case Stop:
			return Refused
		case Remark:
			v = WithRemark
		}
	}
	return v
}

// The words for what a limit rests on. A document is named only for figures
// that were seen in a copy or an excerpt of it.
const (
	basisSlope    = "90–105 %: USP <791>; 95 % as the mark for care: banding in a bench-meter manual"
	basisOffset   = "±30 mV: USP <791>; ±15 mV: no published limit, a new electrode is within ±12 mV (a meter manual)"
	basisCheck    = "0.05: ASTM D1287; 0.10: a guide to water testing"
	basisShown    = "0.05 and 0.10 as for a check standard: ASTM D1287 and a guide to water testing; used for every standard: no standard says so"
	basisResidual = "0.03 and 0.10: no published limit"
	basisSpan     = "more than 2 apart: preferred by DIN 19268; not more than 4: a laboratory procedure after USP"
	basisWarm     = "2 °C and 5 °C: no published limit, between ±1 °C (GB/T 6920) and 5 °C (USGS I-1586-85)"
	basisAlike    = "a cracked electrode reads nearly the same in both standards: ASTM D1287 and a meter manual; a sixth of the expected span as the mark: no published limit"
	basisOrder    = "arithmetic: the readings fit the standards in this order"
	basisSign     = "arithmetic: the potential of a pH electrode falls with rising pH"
	basisOther    = "arithmetic: 7.00 taken for 6.86 is 0.14 pH, 8.3 mV at 25 °C"
	basisStale    = "a buffer of pH 10.01 left open went from 10.04 to 9.89 in a day; 1.5 % as the mark: no published limit"
	basisAltered  = "arithmetic: the readings are likeliest so; used portions and open bottles change, common practice, no source"
	basisWater    = "arithmetic: the readings are likeliest so; water without buffer reads restlessly, USP <791> and ASTM D5464 ask for special methods"
	basisSame     = "arithmetic: the readings fit one standard"
	basisTemp     = "the slope is proportional to the absolute temperature: USP <791>"
	basisInquiry  = "arithmetic: several accounts of the readings are about as likely; the odds of mistakes are estimates"
	basisUsual    = "15 to 27.5 °C: no published limit; the slope is proportional to the absolute temperature, USP <791>"
	basisTwo      = "arithmetic: a line goes through any two points"
	basisStep     = "earlier calibrations of the same electrode; a step is not ageing; no published limit"
	basisSlow     = "time constants of 20–60 s are those of a poor electrode: derived from figures in manuals"
	basisTail     = "after a minute sound glass still has 0.2 to 5 % of a step to go: measured on open recordings"
	basisNoise    = "0.03 pH, the scatter of a simple sensor; 0.1 pH: no published limit"
	basisHand     = "no published limit"
	basisExpiry   = "nothing outdated is used: 21 CFR 58.83"
	basisMemory   = "not confirmed by a second publication: the table on the bottle takes precedence"
	basisBetween  = "the verification buffer lies between the calibration buffers: USP <791>"
	basisAge      = "on the day of use: Ph. Eur. 2.2.3; 12 h and 24 h: no published limit"
	basisOften    = "after power-on and every 3–4 h: common practice, no source"
	basisBracket  = "standards on both sides of the reading: preferred by DIN 19268; asked for by EPA SW-846 9040"
	basisChange   = "after a change of electrode: triggers in manuals"
	basisTyped    = "0.02 pH: no published limit"
	basisLoose    = "a third of the tolerance, and all of it: no published limit"
	basisShift    = "a third of the tolerance, and all of it, when it is beyond two spreads: no published limit"
	BasisLater    = "what was not accepted replaces nothing"
	basisInside   = "how such meters work; nothing outside can change it"
)

// basisOf are the bases of the causes.
var basisOf = map[Code]string{
	CodeAlike: basisAlike, CodeReversed: basisSign, CodeSwapped: basisOrder, CodeOther: basisOther, CodeStale: basisStale,
	CodeAltered: basisAltered, CodeWater: basisWater, CodeSame: basisSame, CodeTemp: basisTemp,
}
