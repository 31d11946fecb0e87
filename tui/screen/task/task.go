package task

import (
	"fmt"
	"strings"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/widget"
)

// Task is an exercise before it begins.
type Task struct {
	Title string
	Facts string // level, coach and speed, at the right
	Story string
	Goal  string
	Bench []string // what stands there: lines
	Keys  []keyrow.Key
	Set   *widget.Set
}

// Tell draws a task: h rows of at most w columns.
func Tell(t Task, w, h int) string {
	s, r := framed(w, h, t.Title, t.Facts, t.Keys, t.Set)
	p := page{s: s, r: r, set: t.Set, air: h >= 22}
	p.gap()
	p.put(widget.Plain, t.Story)
	p.gap()
	p.put(widget.Act, t.Goal)
	p.gap()
	for _, line := range t.Bench {
		p.put(widget.Plain, line)
	}
	p.gap()
	p.put(widget.Faint, keyrow.Caution)
	return s.Painted()
}

// framed is a sheet with a title and a row of keys, and what is left between.
func framed(w, h int, title, facts string, keys []keyrow.Key, set *widget.Set) (*widget.Sheet, widget.Rect) {
	s := widget.NewSheet(w, h)
	r := s.Page()
	if h >= 5 {
		var head, row widget.Rect
		r, row = r.CutBottom(1)
		head, r = r.CutTop(1)
		keyrow.Title(s, head, title, facts, set)
		keyrow.Draw(s, row, keys, set)
	}
	return s, r
}

// page is text that runs down a rectangle.
type page struct {
	s   *widget.Sheet
	r   widget.Rect
	set *widget.Set
	row int
	air bool
}

func (p *page) gap() {
	if p.air {
		p.row++
	}
}

func (p *page) put(ink widget.Ink, text string) {
	p.row = p.s.PutWords(p.r, p.row, p.r.H, ink, text, p.set)
}

// Debrief is what became of an exercise.
type Debrief struct {
	Title   string
	Facts   string // whose, when, on which bench
	Points  float64
	Verdict string // in a few words
	Items   []Mark
	Skills  []Mark // the same points by skill
	Moment  string // what mattered
	Story   []string
	Learn   string
	Compare []Beside
	Page    int // of Pages
	Keys    []keyrow.Key
	Set     *widget.Set
}

// Mark is a line of the score.
type Mark struct {
	Name    string
	Got, Of float64
	Why     string
}

// Beside is an addition beside what the coach would have said.
type Beside struct {
	T                   float64
	Did, Coach, Verdict string
}

// Pages are the pages of a debrief.
const Pages = 3

var pageNames = [Pages]string{"score", "what happened", "beside the coach"}

// Debriefed draws a debrief: h rows of at most w columns.
func Debriefed(d Debrief, w, h int) string {
	s, r := framed(w, h, d.Title, d.Facts, d.Keys, d.Set)
	p := page{s: s, r: r, set: d.Set, air: h >= 22}
	d.headline(&p)
	switch d.Page {
	case 1:
		d.happened(&p)
	case 2:
		d.beside(&p)
	default:
		d.score(&p)
		d.more(&p)
	}
	return s.Painted()
}

// headline is points and verdict, and which page it is.
func (d Debrief) headline(p *page) {
	ink := widget.Warn
	if d.Points >= goodPoints {
		ink = widget.Good
	}
	n := d.Page % Pages
	page := widget.FirstFit(p.r.W/2, p.set, fmt.Sprintf("%s, page %d of %d", pageNames[n], n+1, Pages), fmt.Sprintf("page %d of %d", n+1, Pages))
	text := fmt.Sprintf("%.0f of 100 points: %s", d.Points, d.Verdict)
	if widget.Width(p.set.Text(text))+widget.Width(page)+2 > p.r.W {
		page = fmt.Sprintf("%d/%d", n+1, Pages)
	}
	p.s.PutRight(p.r, p.row, widget.Faint, page, p.set)
	p.s.PutIn(widget.Rect{X: p.r.X, Y: p.r.Y, W: p.r.W - widget.Width(page) - 2, H: p.r.H}, p.row, ink, text, p.set)
	p.row++
}

// goodPoints are shown as good.
const goodPoints = 80

// mostReason is how many rows a reason may take.
const mostReason = 5

// score is the items, each with its reason.
func (d Debrief) score(p *page) {
	p.gap()
	name := 0
	for _, i := range d.Items {
		name = max(name, widget.Width(i.Name))
	}
	// Of a reason as many rows as leave room for what mattered: short ones leave theirs to long ones.
	rows, room := 1, p.r.H-p.row-6
	for most := 2; most <= mostReason; most++ {
		sum := 0
		for _, i := range d.Items {
			sum += len(widget.Wrap(i.Why, p.r.W-name-13, most, p.set))
		}
		if sum <= room {
			rows = most
		}
	}
	for _, i := range d.Items {
		ink := widget.Warn
		if i.Got >= i.Of {
			ink = widget.Good
		}
		s := p.s
		s.PutIn(p.r, p.row, widget.Plain, i.Name, p.set)
		s.PutIn(widget.Rect{X: p.r.X + name + 1, Y: p.r.Y, W: 11, H: p.r.H}, p.row, ink, fmt.Sprintf("%4.3g of %g", i.Got, i.Of), p.set)
		_, why := p.r.CutLeft(name + 13)
		p.row = max(p.row+1, s.PutWords(why, p.row, rows, widget.Plain, i.Why, p.set))
	}
	if p.r.H-p.row >= 3 {
		p.gap()
		p.put(widget.Strong, d.Moment)
	}
	if p.r.H-p.row >= 2 && len(d.Skills) > 0 {
		p.gap()
		p.put(widget.Faint, "By skill: "+d.skills()+".")
	}
}

// leastMore is the least number of rows below the score in which the other pages begin.
const leastMore = 14

// more is what stands on the other pages, below the score where there is room for it.
func (d Debrief) more(p *page) {
	if p.r.H-p.row < leastMore {
		return
	}
	p.gap()
	p.put(widget.Strong, "What happened")
	for _, text := range d.Story {
		p.put(widget.Plain, text)
	}
	p.gap()
	p.put(widget.Act, "To take away: "+d.Learn)
	if p.r.H-p.row < min(len(d.Compare), 6)+3 {
		return
	}
	p.gap()
	p.put(widget.Strong, "Beside the coach")
	p.row-- // the rows bring their gap
	d.beside(p)
}

// skills are the points by skill in one line.
func (d Debrief) skills() string {
	var out []string
	for _, s := range d.Skills {
		out = append(out, fmt.Sprintf("%s %.0f of %.0f", s.Name, s.Got, s.Of))
	}
	return strings.Join(out, ", ")
}

// happened is the story, what mattered and what to take home.
func (d Debrief) happened(p *page) {
	p.gap()
	for _, text := range d.Story {
		p.put(widget.Plain, text)
	}
	p.gap()
	p.put(widget.Strong, d.Moment)
	p.gap()
	p.put(widget.Act, "To take away: "+d.Learn)
}

// beside is every addition beside the advice.
func (d Debrief) beside(p *page) {
	p.gap()
	if len(d.Compare) == 0 {
		p.put(widget.Plain, "Nothing was added.")
		return
	}
	// time, what was done, what the coach would have said, verdict
	did, coach := max(10, min(26, (p.r.W-6)/3)), max(10, min(29, (p.r.W-6)*3/8))
	x := p.r.X
	for i, w := range []int{6, did, coach} {
		p.s.PutIn(widget.Rect{X: x, Y: p.r.Y, W: w - 1, H: p.r.H}, p.row, widget.Faint, []string{"at", "you added", "the coach"}[i], p.set)
		x += w
	}
	p.row++
	for i, c := range d.Compare {
		if p.r.H-p.row <= 1 && len(d.Compare)-i > 1 {
			p.put(widget.Faint, fmt.Sprintf("and %d more; the replay has them all", len(d.Compare)-i))
			return
		}
		ink := widget.Plain
		if strings.Contains(c.Verdict, "what was safe") {
			ink = widget.Warn
		}
		x := p.r.X
		for _, cell := range []struct {
			w    int
			ink  widget.Ink
			text string
		}{{6, widget.Faint, phrase.Watch(c.T)}, {did, widget.Plain, c.Did}, {coach, widget.Faint, c.Coach}, {p.r.W - 5 - did - coach, ink, c.Verdict}} {
			p.s.PutIn(widget.Rect{X: x, Y: p.r.Y, W: cell.w - 1, H: p.r.H}, p.row, cell.ink, cell.text, p.set)
			x += cell.w
		}
		p.row++
	}
}
