package view

import (
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
)

// Record is the advice as journal and line protocol give it.
func (v View) Record() journal.Advice {
	a := journal.Advice{Do: v.Advice.Do.String(), Reason: v.Advice.Reason.String(), Why: v.Why(), Aim: phrase.Decimals(v.Advice.Aim, 4)}
	if v.HasReading {
		a.PH, a.Settled = v.PH, v.Settled()
	}
	a.Named = v.named()
	if f, bad := Unsound(v.Spotted); bad && v.Advice.Do == coach.Check && v.Advice.Reason == coach.Faulty {
		a.Fault = f.Code()
	}
	if v.Advice.Do == coach.Add {
		a.Titrant, a.Drops, a.ML = v.Titrant, v.Advice.Drops, phrase.Decimals(v.Advice.Volume.Millilitres(), 6)
		a.PHAfter, a.PHLow, a.PHHigh = phrase.Decimals(v.Advice.After, 4), phrase.Decimals(v.Advice.Low, 4), phrase.Decimals(v.Advice.High, 4)
	}
	return a
}

// named are the mistakes that a check may be about, the likeliest first.
func (v View) named() (out []string) {
	if v.Advice.Do == coach.Check && v.Advice.Reason == coach.Mistaken {
		for _, m := range v.Advice.Mistakes {
			out = append(out, m.Name)
		}
	}
	return out
}
