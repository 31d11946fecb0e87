package view_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/spot"
)

// Where drops of another size explain the readings as well as the bottle or the balance, the
// dropper is among what is to be looked at; where they cannot, it is not.
func TestTheDropperIsLookedAt(t *testing.T) {
	const smaller, larger = "the dropper (smaller drops look the same: weigh 20)", "the dropper (larger drops look the same: weigh 20)"
	for name, tt := range map[string]struct {
		codes []string
		inML  bool
		look  string // empty for no word of drops
	}{
		"half a bottle or twice the buffer": {[]string{"stock:HCl 1 M:0.5", "amount:2"}, false, smaller},
		"twice a bottle":                    {[]string{"stock:HCl 1 M:2"}, false, larger},
		"half the buffer":                   {[]string{"amount:0.5"}, false, larger},
		"ten times":                         {[]string{"stock:HCl 1 M:0.1"}, false, ""},
		"four times":                        {[]string{"stock:HCl 1 M:4"}, false, ""},
		"two and a half times":              {[]string{"stock:HCl 1 M:2.5"}, false, larger},
		"ten times, or half":                {[]string{"stock:HCl 1 M:0.1", "stock:HCl 1 M:0.5"}, false, smaller},
		"less or more":                      {[]string{"stock:HCl 1 M:0.5", "amount:0.5"}, false, ""},
		"by a burette":                      {[]string{"stock:HCl 1 M:0.5", "amount:2"}, true, ""},
		"another bottle, by a burette":      {[]string{"stock:NaOH 1 M:0.5"}, true, smaller},
		"another salt":                      {[]string{"other_form:NaH2PO4"}, false, ""},
		"an addition":                       {[]string{"missed:2"}, false, ""},
	} {
		v := view.View{Titrants: []string{"HCl 1 M", "NaOH 1 M"}, InML: []bool{tt.inML, false}}
		if name == "by a burette" {
			v.InML[1] = true
		}
		v.Advice = coach.Advice{Do: coach.Check, Reason: coach.Mistaken, Weight: 0.9}
		for _, c := range tt.codes {
			v.Advice.Mistakes = append(v.Advice.Mistakes, coach.Mistake{Code: c, Name: c})
		}
		if tt.look == "" {
			assert.NotContains(t, v.Why(), "look the same", name)
		} else {
			assert.Contains(t, v.Why(), "; "+tt.look+". y: that is it", name)
		}
	}
}

// Where one drop too many brings the reading no nearer, c is not "give it".
func TestNothingIsThereToGive(t *testing.T) {
	v := view.View{Advice: coach.Advice{Do: coach.Check, Reason: coach.DropTooBig, OneDrop: 0.09, Tolerance: 0.02}}
	assert.Equal(t, "leave it so", v.Replies()[0].Short)
	v.Instead = &view.Instead{Drops: 0.5, Titrant: "acid"}
	assert.Equal(t, "give it", v.Replies()[0].Short)
}

// Where it is asked whether the electrode is in the beaker, nothing can have been put right.
func TestWhetherItIsInTheBeaker(t *testing.T) {
	v := view.View{Advice: coach.Advice{Do: coach.Check, Reason: coach.Faulty}, Spotted: []spot.Finding{{Fault: spot.Cap, Bad: true, Outside: true}}}
	keys := ""
	for _, r := range v.Replies() {
		keys += r.Key
	}
	assert.Equal(t, "ic", keys)
	v.Spotted[0].Outside = false
	assert.Equal(t, "c", v.Replies()[0].Key)
}
