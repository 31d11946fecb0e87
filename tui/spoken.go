package tui

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/tui/hand"
	"example.org/halfdrop/tui/keyrow"
)

// splitAmount parts "0.6 mL NaOH 1 M" into "0.6m" and "NaOH 1 M".
func splitAmount(text string) (number, name string) {
	i := strings.IndexFunc(text, func(r rune) bool { return !strings.ContainsRune("0123456789.,", r) })
	if i < 0 {
		i = len(text)
	}
	number, rest := strings.ReplaceAll(text[:i], ",", "."), strings.TrimSpace(text[i:])
	unit, name, _ := strings.Cut(rest, " ")
	name = strings.TrimPrefix(strings.TrimSpace(name), "of ")
	switch strings.ToLower(unit) {
	case "m", "ml":
		return number + "m", strings.TrimSpace(name)
	case "d", "drop", "drops":
		return number + "d", strings.TrimSpace(name)
	}
	return number, rest
}

// findTitrant is the one titrant whose name is, or begins with, the words
// given; case does not matter.
func findTitrant(all []string, words string) (string, error) {
	found := phrase.Called(all, words)
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return "", fmt.Errorf("no titrant of the plan is called %q; there are: %s", words, strings.Join(all, ", "))
	}
	return "", fmt.Errorf("%q may be %s", words, strings.Join(found, " or "))
}

// spoken are the lines that can be typed, with what they do.
var spoken = [][2]string{
	{"(an empty line)", "all are in: record the addition as ordered; otherwise say how things stand"},
	{"d", "the first drop falls: the order stays as it is until you say that all are in"},
	{"n", "nothing of the order was given"},
	{"6", "record 6 drops; 0.5 is half a drop; of a pipette or a burette 6 mL"},
	{"0.6 mL", "record 0.6 mL"},
	{"6 NaOH 0.1 M", "record 6 drops of another titrant"},
	{"t", "choose another titrant for what is recorded next"},
	{"u", "withdraw the latest addition, or an amendment of the plan; asks why"},
	{"e 7", "the latest addition was 7 drops; e 0.6 mL, or t and then e, for the other titrant"},
	{"c", "answer a CHECK: looked, it is as planned, carry on; c 230 sets a new mark of 230 mL, where that is the question"},
	{"y", "answer a CHECK: yes, that is it; the plan is amended, or the record corrected, to match"},
	{"g", "while it says WAIT: go ahead, with what is safe already"},
	{"i", "the electrode is in the beaker now"},
	{"k", "check the electrode in two standards; k 7.00 in that one; k stop ends the check"},
	{"+ NaOH 0.1 M", "another bottle is available; + KOH 0.5 M, 40 µL, bottle B7 when its drops are of 40 µL and it is remembered as B7; dropper and opened say more of it"},
	{"r words", "write a remark into the record"},
	{"w words", "put on record what was weighed, a lot or a name: w Tris 3.03 g lot A17"},
	{"s", "say how things stand; in a run by hand: the display is steady at the latest value"},
	{"7.42", "in a run by hand: what the display shows; 7.42 s when it is steady"},
	{"21.5 C", "in a run by hand: the temperature of the beaker, °C"},
	{"a", "list the additions"},
	{"q", "end the run; asks first"},
	{"?", "this list"},
}

func (p *plain) help() {
	for _, s := range spoken {
		p.print("%s: %s", s[0], s[1])
	}
	p.print("%s", keyrow.Caution)
}

// amount records what was added: "6", "0.6 mL", "6 drops", each with the name
// of a titrant behind it when it was not the one advised.
func (p *plain) amount(text string) {
	if p.warm(text) || p.value(text) {
		return
	}
	number, name := splitAmount(text)
	if !hand.IsAmount(number) {
		p.print("%q is neither an amount nor a command. ? lists what can be typed.", text)
		return
	}
	var err error
	if name != "" {
		name, err = findTitrant(p.hand.View.Titrants, name)
	}
	var a hand.Answer
	if err == nil {
		a, err = p.hand.Record(number, name)
	}
	if err != nil {
		p.print("%s. Nothing is recorded.", phrase.UpperFirst(err.Error()))
		return
	}
	p.take(a)
}

// check begins or ends a check by a line: "k", "k 7.00 4.01", "k stop".
func (p *plain) check(text string) {
	text = strings.TrimSpace(text)
	if strings.EqualFold(text, "stop") {
		if p.hand.View.Away == nil {
			p.print("No check is in progress.")
			return
		}
		p.take(hand.Check(intent.CheckStop, ""))
		return
	}
	if no := p.hand.CannotCheck(); no != "" {
		p.print("%s.", phrase.UpperFirst(strings.ReplaceAll(no, "Esc ends it", "k stop ends it")))
		return
	}
	p.take(hand.Check(intent.CheckOut, text))
}

// confirm answers a check in a line; a number behind it is a new mark.
func (p *plain) confirm(rest string) {
	a := p.hand.Confirm()
	if a.Mark != nil {
		a = hand.Marked(*a.Mark, rest)
	}
	p.take(a)
}

// value takes a line that says what the display shows: "7.42", "7,42 s", "7.42s", "pH 7.5".
func (p *plain) value(text string) bool {
	if !p.hand.View.ByHand {
		return false
	}
	f := strings.Fields(strings.ToLower(strings.ReplaceAll(text, ",", ".")))
	named := len(f) > 1 && f[0] == "ph"
	if named {
		f = f[1:]
	}
	if len(f) == 1 && strings.HasSuffix(f[0], "s") {
		f = []string{strings.TrimSuffix(f[0], "s"), "s"}
	}
	stands := len(f) == 2 && f[1] == "s"
	if stands {
		f = f[:1]
	}
	if len(f) != 1 {
		return false
	}
	if _, _, err := hand.ParsePH(f[0]); err != nil {
		return false
	}
	p.hand.Typed = f[0]
	if named {
		p.hand.Typed += "p"
	}
	switch {
	case stands:
		p.take(p.hand.Read(true))
	case p.hand.OfPH():
		p.take(p.hand.Enter())
	default:
		p.hand.Forget()
		return false
	}
	return true
}

// warm takes a line that says how warm the beaker is: "21.5 C", "21,5 °C".
func (p *plain) warm(text string) bool {
	number, ok := strings.CutSuffix(strings.ReplaceAll(text, ",", "."), "C")
	if !ok || !p.hand.View.ByHand {
		return false
	}
	number = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(number), "°"))
	if _, err := strconv.ParseFloat(number, 64); err != nil {
		return false
	}
	p.hand.Typed = number
	p.take(p.hand.Degrees())
	return true
}
