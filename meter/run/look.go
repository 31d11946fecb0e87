package run

import (
	"cmp"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/elsewhere"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/order"
	"example.org/halfdrop/meter/run/typed"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/spot"
)

// staleAfter is how old the last reading may be, s, to advise on it: three of
// the meter's intervals, and not less than 3 s.
func (s *State) staleAfter() float64 {
	if s.byHand {
		return typed.Fresh
	}
	return math.Max(math.Max(staleLeast, 2*s.seldom.Every()), staleTimes*s.track.Interval())
}

const (
	staleLeast = 3.0
	staleTimes = 3.0
)

// linked is the state of the line at time now, s: one that is quiet because nothing changes is well.
func (s *State) linked(now float64) string {
	if s.link.State == "quiet" && s.last.same && now-s.last.t <= s.staleAfter() {
		return "live"
	}
	return s.link.State
}

// down reports whether nothing comes from the meter.
func (s *State) down(now float64) bool {
	return slices.Contains([]string{"lost", "quiet"}, s.linked(now))
}

// Unsent is a reading that the meter has not sent, since it sends only what changes; false where
// it is not known to.
func (s State) Unsent(now float64) (journal.Reading, bool) {
	if _, bad := s.unused.Holds(); bad || s.byHand || s.away.On() || s.ended != nil || s.link.State == "lost" {
		return journal.Reading{}, false
	}
	return s.seldom.Shows(now)
}

// Unchanged is the latest reading that the meter sent, once more; false before one.
func (s State) Unchanged() (journal.Reading, bool) { return s.seldom.Unchanged() }

// Look computes the view at time now, s since the start of the run.
func (s State) Look(now float64) view.View {
	v := view.View{
		T: now, Version: s.version, Name: s.Setup.Plan.Name,
		Target: s.Setup.Target, Tolerance: s.Setup.Tolerance, UseTemp: s.Setup.UseTemp,
		BenchTemp: s.benchTemp, Waiting: s.Setup.Waiting(), Start: s.Setup.Start, Final: s.Setup.Final, Volume: s.Setup.Start,
		Entries: s.entries, Link: s.linked(now), LinkNote: s.link.Note,
		Seldom: s.seldom.Maybe() && !s.led, Refused: s.unused.Count(), Refusal: s.unused.Refusal(), Noted: s.noted,
	}
	if t, ok := s.thermometer.Sent(); ok {
		v.BenchTemp = chem.Celsius(t)
	}
	v.Measured = s.thermometer.Measured(s.last.t)
	if v.Unread = s.link.Poor && v.Link == "quiet"; s.link.Poor && !v.Unread {
		v.Poor = s.link.Note
	}
	v.Note = cmp.Or(s.thermometer.Words(s.last.t, s.Setup.BenchTemp, s.benchTemp), s.seldom.Note(s.last.same))
	v.Unused = s.unused.Words(now, s.latest())
	for j, st := range s.Setup.Stocks {
		v.Titrants = append(v.Titrants, st.Name)
		v.InML = append(v.InML, st.ByML)
		v.PerLitre = append(v.PerLitre, s.bench.LabelledCharge(coach.Addition{Stock: j, Volume: chem.Litre}))
	}
	if s.ended != nil {
		v.Outcome = s.ended.Outcome
	}
	for _, a := range s.said.Amended() {
		v.Amended = append(v.Amended, a.Name)
	}
	s.lookAtReading(&v, now)
	s.lookAtBeaker(&v)
	s.lookAtCalibration(&v)
	s.lookAway(&v)
	v.Unweighed = s.bench.Unweighed
	if len(s.aside()) > 0 && v.Note == "" {
		v.Note = s.refusals.Note()
	}
	if d := s.last.decimals; v.Note == "" && s.last.any && math.Pow10(-d) > view.CoarseOf*s.Setup.Tolerance {
		v.Note = view.CoarseWords(d, s.Setup.Tolerance)
	}
	if first := v.Advice.Do == coach.Wait && s.entries.Count() == 0; (first || v.Advice.Do == coach.Stop) && s.bench.Unweighed && v.Note == "" && !s.Looks() {
		v.Note = view.UnknownComposition
	}
	if v.Advice.Do == coach.Stop {
		var words string
		if v.Brought, words = view.OddYields(s.yields, v.Titrants); v.Note == "" || words != "" && ofAmounts(v) {
			v.Note = words // it names all that looks alike
		}
	}
	if v.Advice.Do == coach.Add || v.Falling != nil {
		v.Titrant = v.Titrants[v.Advice.Stock]
	}
	return v
}

// ofAmounts reports whether the note in sight says that drops did more or less than meant.
func ofAmounts(v view.View) bool {
	return len(v.Spotted) > 0 && v.Note == v.Spotted[0].Words() &&
		slices.Contains([]spot.Fault{spot.WeakTitrant, spot.Dropper, spot.HalfBuffer}, v.Spotted[0].Fault)
}

func (s *State) lookAtReading(v *view.View, now float64) {
	est := s.follows(s.sober(s.estimate(now)))
	v.Settling = est
	if moves := s.moves(); len(moves) > 0 {
		v.Level, v.Leaving = moves[0].Before.End, est.State == probe.Moving
	}
	v.Advice = s.advise(v, est, now)
	if v.Falling == nil && !s.away.On() && !(s.order.Stands() && s.goesAgainst(now)) && (!s.sieve.Holds() || s.sieve.Many() || s.isAsked() && s.advice.Reason == coach.Faulty.String()) { // else the next reading tells
		v.Spotted = s.spotted(est, now, v.Advice)
		v.Advice = forbid(v.Advice, v.Spotted)
		s.maybeOutside(v, now)
	} else if v.Falling == nil && v.Advice.Do == coach.Add && s.order.Advice == nil && s.sieve.Holds() {
		v.Advice = elsewhere.Waits(v.Advice) // a fault may have been asked about, and the reading that is held is another
	}
	v.Ordered = s.order.Advice != nil && v.Advice.Do == coach.Add
	if v.Ordered {
		v.Was = s.order.Was
	}
	if on, _ := s.track.Pickup(); on && v.Note == "" {
		v.Note = view.PickupWords
	}
	if _, bad := view.Unsound(v.Spotted); v.Note == "" && !bad && len(v.Spotted) > 0 {
		v.Note = v.Spotted[0].Words()
	}
	s.lookAtCheck(v, est)
	v.Offer = s.held(v.Advice, est)
	v.Advice, v.Found = given.InItsUnit(s.Setup, v.Advice), s.finding(est)
	v.ByHand, v.Next = s.byHand, s.next(v.Advice, est, now)
	if !s.last.any {
		return
	}
	v.HasReading, v.PH, v.Decimals = true, s.last.ph, s.last.decimals
	v.Age = now - s.last.t
	v.Read, v.AtRest = s.rest(v, est)
	if v.Reached = s.reached(v); v.Reached {
		v.Read = s.done.Value
	}
}

// follows is an estimate as it is shown: for some seconds after an addition was put on record, one that
// what the meter shows has left says nothing of where that will end.
func (s *State) follows(est probe.Estimate) probe.Estimate {
	en, ok := s.Latest()
	two, _ := s.track.Pickup() // on the upper line it has left nothing
	if ok && s.last.any && !s.byHand && !two && s.T-en.T < leftFor && math.Abs(s.last.ph-est.Now) > order.MovedSDs*est.SD {
		est.SD = math.Inf(1)
	}
	return est
}

// leftFor, a choice of this project, is for how long after an addition that is so, s: longer, it is asked about.
const leftFor = 6.0

// advise says what to do: while drops fall, what was ordered; else nothing on a
// line that fails or a reading that behaves as no sound one does; else what the
// coach says, an order staying as it is while it is right.
func (s *State) advise(v *view.View, est probe.Estimate, now float64) coach.Advice {
	if s.away.On() {
		return s.awayAdvice(coach.Advice{Do: coach.Wait, Aim: s.forecast.Aim, Tolerance: s.bench.Tolerance})
	}
	if f, ok := s.order.Falling(s.beaker(est, now)); ok {
		v.Falling = &f
		a := s.ordered()
		if a.Reason = coach.Dosing; f.Asks {
			a.Do, a.Reason = coach.Check, coach.Unsaid
		}
		return a
	}
	stands := s.order.Advice != nil && !s.order.Left
	idle := coach.Advice{Do: coach.Wait, Reason: coach.Settling, Aim: s.forecast.Aim, Tolerance: s.bench.Tolerance}
	odd := idle
	odd.Do = coach.Check
	if s.keepsOff(est) {
		idle.Reason = coach.HandsOff
	}
	badAt, bad := s.unused.Holds()
	switch {
	case s.down(now):
		idle.Reason = coach.Faulty
	case !s.last.any:
		idle.Reason = coach.NoReading
	case bad && now-badAt <= s.staleAfter(): // later it is that nothing comes
		idle.Reason = coach.Faulty
	case now-s.last.t > s.staleAfter():
		idle.Reason = coach.Stale
	case s.turns(v, est):
		odd.Reason = coach.Moved
		return odd
	case s.unexplained(est) && !(stands && s.goesAgainst(now)):
		odd.Reason = coach.Moved
		return odd
	case s.stopped():
		odd.Reason = coach.Stuck
		return odd
	case s.track.Unread(), s.tooFew(), est.State == probe.Empty || est.State == probe.Moving && !stands || s.halted():
	case stands && (s.order.Leaves(s.beaker(est, now)) || s.goesAgainst(now)):
	case stands:
		return s.upheld(est, now)
	case !s.unmoved() && !s.isAsked() && (est.SD >= view.VagueSD || s.age() < offerAge && s.request(est).Now.Unripe(idle)):
	default:
		return s.kept(s.asked(est), idle, est)
	}
	return idle
}

// kept is an advice to wait that takes nothing back of what was said before: hands
// off, or done on a reading that is still inside. Nor is an addition ordered after done, where
// nobody has touched anything, on an end that a reading inside has within its doubt.
func (s *State) kept(a, idle coach.Advice, est probe.Estimate) coach.Advice {
	switch {
	case a.Do != coach.Wait && a.Do != coach.Add || s.track.Changing():
	case s.advice != nil && s.advice.Do == coach.Stop.String() && math.Abs(est.Now-a.Aim) <= a.Tolerance && math.Abs(est.End-a.Aim) <= a.Tolerance+offSDs*est.SD:
		a = coach.Advice{Do: coach.Stop, Reason: coach.InTolerance, Aim: a.Aim, Tolerance: a.Tolerance}
	case a.Do == coach.Add:
	case a.Reason == coach.Settling:
		a.Reason = idle.Reason
	}
	return a
}

// asked is what the coach says now.
func (s *State) asked(est probe.Estimate) coach.Advice {
	a := s.entries.Numbered(s.said.Unasked(s.said.Unwilling(s.countable(est, s.stillAsked(est, s.bench.Advise(s.request(est))))), s.entries))
	if (a.Do != coach.Check || a.Reason == coach.Mistaken) && s.unmoved() { // what went missing is asked on a display that is not on hold
		a.Do, a.Reason = coach.Check, coach.Stuck
	}
	return a
}

// upheld is the order that stands, or what overtakes it.
func (s *State) upheld(est probe.Estimate, now float64) coach.Advice {
	if now-s.order.T < orderStays || est.State == probe.Moving || s.track.Hint() > hinted || s.order.Nearer(s.beaker(est, now)) {
		return s.ordered()
	}
	if math.Abs(s.forecast.Aim-s.order.Aim) > aimMoved*s.Setup.Tolerance { // it would lead to where the aim was
		return s.asked(est)
	}
	r := s.request(est)
	r.Begun = s.order.Begins(s.beaker(est, now))
	if s.bench.Stands(r, s.order.Stock, s.order.Advice.Drops) && !s.unmoved() {
		return s.ordered()
	}
	return s.asked(est)
}

// ordered is the order that stands, as it was given.
func (s *State) ordered() coach.Advice {
	o := s.order.Advice
	a := coach.Advice{Do: coach.Add, Reason: coach.ReasonOf(o.Reason), Aim: o.Aim, Tolerance: s.bench.Tolerance,
		Stock: s.order.Stock, Drops: o.Drops, Volume: chem.Volume(o.ML) * chem.Millilitre, After: o.PHAfter, Low: o.PHLow, High: o.PHHigh}
	if a.Reason == coach.Past {
		a.Salt = math.Abs(s.bench.LabelledCharge(coach.Addition{Stock: a.Stock, Volume: a.Volume}))
	}
	return a
}

// wentOn is how long, s, a reading that somebody has said to be that of the beaker may go on
// elsewhere before it is asked about again: what makes an electrode wander lasts.
const wentOn = 60.0

// unexplained reports whether the reading has left its level and stands at
// another with nothing to explain it. Before an addition was asked for or made,
// an electrode is put into the beaker, and moves by that.
func (s *State) unexplained(est probe.Estimate) bool {
	if est.State == probe.Moving || s.untouched() {
		return false
	}
	moves := s.moves()
	if len(moves) == 0 {
		return false
	}
	i := slices.IndexFunc(moves, func(m probe.Move) bool { return m.From > s.wentAt+wentOn })
	if i < 0 {
		return false
	}
	before := moves[i].Before
	return math.Abs(est.End-before.End) > order.MovedSDs*math.Hypot(est.SD, before.SD)
}
