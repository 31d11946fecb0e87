package tui

import (
	"context"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/typed"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/hand"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/terminal"
	"example.org/halfdrop/tui/widget"
)

// Plain runs the same run in lines of text, without any control code: for
// screen readers, dumb terminals and logs. A line is printed when the advice
// or what came of a wish changes, and on Enter. It returns when the run has
// ended, after q, at the end of input or when ctx ends.
func Plain(ctx context.Context, r Runner, in io.Reader, out io.Writer, o terminal.Options) error {
	p := &plain{runner: r, out: terminal.Lines(out), set: o.Set(os.Getenv), bell: o.Bell, voice: voice{say: o.Speak}, asks: o.Note, display: o.Display}
	lines, views := intake.Lines(context.Background(), in), r.Views()
	var late <-chan time.Time
	for p.err == nil {
		select {
		case <-ctx.Done():
			return nil
		case <-late:
			return nil
		case v, ok := <-views:
			if !ok {
				return nil
			}
			p.see(v)
		case text, ok := <-lines:
			if !ok {
				switch lines = nil; {
				case ctx.Err() != nil:
					return nil // it was left before its lines ended
				case o.Again && !p.typed:
					return nil // nobody is there, who could have left the run: it is not closed
				}
				p.mode = ending
				p.runner.Post(intent.Intent{Kind: intent.End, Text: outcome(p.hand.View)})
			} else {
				p.line(text)
			}
			if p.mode == ending && late == nil {
				late = time.After(patience)
			}
		}
	}
	return fmt.Errorf("tui: %w", p.err)
}

// plain is the state of the line mode.
type plain struct {
	runner Runner
	out    io.Writer
	set    *widget.Set
	mode   mode
	hand   hand.Hand
	bell   bool
	voice  voice
	typed  bool           // a line has come
	said   string         // the sentence printed last
	asked  *hand.Question // the question printed last
	reason *intent.Intent // what waits for a reason in own words
	asks   bool           // for masses and lots, before the first addition
	alarm  string
	err    error

	display func() (pH, temperature string) // of a simulated meter that is read off; nil for none
}

func (p *plain) print(format string, a ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintln(p.out, p.set.Text(terminal.Clean(fmt.Sprintf(format, a...))))
	}
}

// sentence is what was refused as a sentence, like all that is said besides.
func sentence(text string) string {
	text = phrase.UpperFirst(text)
	if strings.HasSuffix(text, ".") || strings.HasSuffix(text, "?") || strings.HasSuffix(text, "!") {
		return text
	}
	return text + "."
}

// see takes a view and prints what is new in it.
func (p *plain) see(v view.View) {
	old, first, open := p.hand.View, !p.hand.Any, p.hand.Question
	p.hand.See(v)
	if open != nil && p.hand.Question == nil {
		p.print("%s", sentence(hand.Gone))
	}
	p.voice.hear(v)
	if first {
		p.print("%s. %s. Titrants: %s. ? lists what can be typed.", v.Name, screen.Wanted(v), strings.Join(v.Titrants, ", "))
	}
	if v.Alarm != p.alarm {
		if p.alarm = v.Alarm; v.Alarm != "" {
			p.print("ALARM: %s", v.Alarm)
		}
	}
	for _, a := range v.Answers {
		switch {
		case a.Asks:
		case a.Failed:
			p.print("%s", sentence(a.Text))
		default:
			p.print("%s", a.Text)
		}
	}
	p.ask()
	if v.Outcome != "" {
		p.print("The run is closed: %s.", v.Outcome)
		p.mode = ending
		return
	}
	if v.Poor != old.Poor && v.Poor != "" {
		p.print("%s.", v.Poor)
	}
	if v.Unused != "" && old.Unused == "" && v.Advice.Reason != coach.Faulty {
		p.print("Not used: %s.", v.Unused)
	}
	if p.asks && hand.Unnoted(v) {
		p.asks = false
		p.print("%s.", phrase.UpperFirst(hand.NoteWords))
	}
	if s := steady(v); s != p.said {
		if !first && rings(old, v) && (p.bell || v.Advice.Reason == coach.Unsaid) {
			fmt.Fprint(p.out, "\a")
		}
		p.tell()
	}
}

// tell prints what to do now with the reading and the reason.
func (p *plain) tell() {
	v := p.hand.View
	p.said = steady(v)
	why := strings.ReplaceAll(v.Why(), "Esc ends the check", "k stop ends the check")
	p.print("%s. %s %s. %s.", v.Sentence(), screen.Spoken(v), screen.Heading(v), phrase.UpperFirst(why))
	if p.display != nil {
		ph, warm := p.display()
		p.print("The display shows %s, %s.", ph, warm)
	}
}

// steady is the sentence, without the seconds that run down.
func steady(v view.View) string {
	if v.Next != nil && !v.Due() {
		return fmt.Sprint("later ", v.Advice.Reason, v.Next.Stands)
	}
	return v.Sentence()
}

// line carries out one line of input.
func (p *plain) line(text string) {
	text = strings.TrimSpace(text)
	p.typed = true
	switch {
	case p.mode == asking:
		p.answerEnd(text)
		return
	case p.reason != nil:
		in := *p.reason
		p.reason = nil
		p.take(hand.Explained(in, text))
		return
	case p.hand.Question != nil:
		p.reply(text)
		return
	}
	word, rest, _ := strings.Cut(text, " ")
	switch word {
	case "":
		p.enter()
	case "u":
		p.take(p.hand.Withdraw())
	case "e":
		p.edit(rest)
	case "c":
		p.confirm(rest)
	case "y":
		p.take(p.hand.Affirm())
	case "d":
		p.take(p.hand.Doses())
	case "n":
		p.take(p.hand.Decline())
	case "g":
		p.take(p.hand.GoOn())
	case "i":
		p.take(p.hand.Immersed())
	case "k":
		p.check(rest)
	case "+":
		p.bottle(rest)
	case "t":
		p.take(p.hand.Cycle())
	case "s":
		if p.hand.View.ByHand {
			p.take(p.hand.Stands())
			return
		}
		p.tell()
	case "a":
		p.additions()
	case "r":
		p.remark(rest)
	case "w":
		p.note(rest)
	case "?":
		p.help()
	case "q":
		p.quit("")
	default:
		p.amount(text)
	}
}

// quit asks whether the run is to end; open is an order that was asked about until then.
func (p *plain) quit(open string) {
	p.mode = asking
	if unsaid := p.hand.Unsaid(); unsaid != "" {
		p.print("%s.", unsaid)
	} else if open != "" {
		p.print("%s.", hand.Unrecorded(open))
	}
	p.print("End the run and close the record? y or n")
}

// ask prints the question in hand, once.
func (p *plain) ask() {
	if q := p.hand.Question; q != p.asked {
		if p.asked = q; q != nil {
			p.print("%s %s", phrase.UpperFirst(q.Words), q.Keys())
		}
	}
}

// reply answers the question in hand; an empty line is Enter.
func (p *plain) reply(text string) {
	switch text {
	case "":
		text = "enter"
	case "q":
		open, a := p.hand.Quit()
		p.take(a)
		p.quit(open)
		return
	}
	p.take(p.hand.Reply(strings.ToLower(text)))
}

func (p *plain) bottle(text string) {
	if text = strings.TrimSpace(text); text == "" {
		p.print("Which bottle? + NaOH 0.1 M.")
		return
	}
	p.take(hand.Answer{Want: &intent.Intent{Kind: intent.Bottle, Text: text}})
}

// edit corrects the latest addition.
func (p *plain) edit(amount string) {
	p.hand.Typed = strings.TrimSpace(amount)
	if ml, ok := strings.CutSuffix(strings.ToLower(p.hand.Typed), "ml"); ok {
		p.hand.Typed = strings.TrimSpace(ml) + "m"
	}
	p.take(p.hand.Correct())
	p.hand.Typed = ""
}

// enter records as advised; without such advice it says how things stand.
func (p *plain) enter() {
	a := p.hand.Enter()
	p.take(a)
	if a.Want == nil && p.hand.Any && p.hand.Question == nil {
		p.tell()
	}
}

func (p *plain) take(a hand.Answer) {
	if a.Want != nil {
		if a.Want.ID == 0 {
			p.hand.Stamp(a.Want)
		}
		p.runner.Post(*a.Want)
	}
	if p.reason = a.Words; p.reason != nil {
		p.print("Why? Type a line of your own.")
	}
	if a.Say != "" {
		p.print("%s", phrase.UpperFirst(a.Say)+".")
	}
	p.ask()
}

func (p *plain) remark(text string) {
	if text = strings.TrimSpace(text); text == "" {
		p.print("A remark needs words, such as: r stirred harder.")
		return
	}
	p.take(hand.Answer{Want: &intent.Intent{Kind: intent.Remark, Text: text}})
}

func (p *plain) note(text string) {
	if text = strings.TrimSpace(text); text == "" {
		p.print("What is to go on record? w and %s.", typed.NoteHelp)
		return
	}
	p.take(hand.Answer{Want: &intent.Intent{Kind: intent.Note, Text: text}})
}

func (p *plain) answerEnd(text string) {
	if text != "y" && text != "Y" {
		p.mode = running
		p.print("The run continues.")
		return
	}
	p.mode = ending
	p.runner.Post(intent.Intent{Kind: intent.End, Text: outcome(p.hand.View)})
}

func (p *plain) additions() {
	lines := screen.Additions(p.hand.View)
	if len(lines) == 0 {
		p.print("No additions yet.")
	}
	for _, l := range lines {
		p.print("%s", l)
	}
}
