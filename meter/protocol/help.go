package protocol

import (
	"fmt"
	"strings"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/view"
)

// helpText is the line protocol as halfdrop advise --help tells it.
const helpText = `The coach as a filter for other programs: one JSON object a line in, exactly
one a line out. The clock is "t", in seconds, from the beginning of the run or
of 1970. End of input ends it.

In, a line each:

  {"t":12,"ph":6.12,"temp_c":21.4}
      a reading; "mv" instead of "ph" for millivolts
  {"t":13,"same":true}
      the meter shows what it sent last: of one that sends only what changes,
      each second
  {"t":12,"ph":6.12,"typed":true,"stands":true}
      read off a display by a person; "stands" when it is steady;
      "sure":true for a value that was refused as a slip; "temp_c" without "ph"
      is the temperature of the beaker, off a thermometer
  {"t":31,"dosing":true}
      the first drop of the order falls; optional
  {"t":40,"added":{"titrant":"NaOH 1 M","drops":12}}
      or "ml":0.6; "from":31 when the first drop fell then; "sure":true for an
      amount that was refused as implausible
  {"t":40,"declined":true}
      nothing of the order was given
  {"t":41,"undo":true}
      the latest addition was typed wrongly
  {"t":42,"confirm":true}
      a person has looked at the check: it is as planned; with "mark_ml":230 the
      larger mark that is agreed to, where there is no room left
  {"t":42,"confirm":"CODE"}
      that is it: one of the "codes" of the check; where it is a mistake, the
      plan is amended by it
  {"t":43,"undo":"CODE"}
      the amendment of that code is withdrawn
  {"t":43,"bottle":{"name":"B9","reagent":"NaOH","molar":0.1,"drop_ul":50}}
      another titrant is available, as in a plan
  {"t":44,"immersed":true}
      the electrode is in the beaker now; ends a check in standards
  {"t":44,"go_on":true}
      the "offer" of a wait is taken, without waiting for a better reading
  {"t":45,"check":["7.00","4.01"]}
      the electrode leaves the beaker, to be checked in standards; "check":true
      takes those of the calibration. Then "check":"in" when it is in the
      standard that is wanted, "take" for the value as it is, "stop" for no more

Out:

  {"t":12,"do":"wait|add|stop|check","ph":6.12,"settled":true,"aim":7.19,
   "titrant":"NaOH 1 M","drops":6,"ml":0.3,"ph_after":6.41,"ph_low":6.37,
   "ph_high":6.46,"reason":"code","why":"words"}

"settled" says that the reading stands within half the tolerance of where it will end,
or was read at rest.

An "add" is an order that stands until it is added, declined or replaced; "was" is
the number of drops that it replaced. Readings go on while drops fall, and an
"added" that is said after them is the normal case: meanwhile the order stays, with
"reason":"dosing". If nothing is said, "check" with "reason":"given" asks whether
the order was given, "like" being the drops that the reading has moved by when they
are quite another number, and "no_more":true meaning that the reading is past the aim
already; answer with "added" or "declined". "wait" with
"reason":"hands_off" is to be left alone; "stop" was read at rest, as "read". A "wait"
for a better reading has an "offer" from 45 s on, where something is safe already: its
"titrant", "drops", "ml" and "ph_after", or "check":true for a question that is held
back or where not one drop is safe yet, and "wait", the seconds that it takes at most.

A "check" is about its "codes", the likeliest first; what they ask and what each
answer does is listed at the end. Of one that is about a drop that
is too large, "titrant", "drops", "ph_after" and "chance" (of passing the tolerance)
are what would be given once it is confirmed; of one about the mark, "mark_ml" is the
larger one that is proposed. "amended" is the part of the plan that turned out to be different.

Typed values come one by one, and stay good for five minutes. One that
"stands" counts as settled at once. A "wait" has "again", the seconds until the next
value is wanted, and "at_rest":true when one that is still moving would not help. A slip of the
finger (74.2, 7.24 for 7.42) is an error that says what was meant.

From "check" to "immersed" readings say nothing of the beaker: answers have
"reason":"in_standard" and "check" with what it "wants": "dip" into the "standard",
"reading", a "look" at what "why" says is odd, or the electrode "back". Then
"checked" has the verdict, accepted, remark or refused, "shift" (pH by which a
reading at the aim is too high), "slope_pct", and each of the "standards". It changes
no reading and is not a new calibration.

A line that cannot be used is answered by {"error":"…"} and changes nothing; keys that
are not of the protocol are passed over, and named as "unknown".
With --journal an answered line has been written to the file, and an answered
addition, undo, confirm, bottle or word on an order has been synced. With --resume the run in the journal
continues where it was interrupted; "t" continues from its last time.`

// Long is the line protocol as its help tells it, with the table of checks and their answers.
var Long = helpText + "\n\nChecks, by the beginning of the code or the reason, with what to look at:\n" + checksText()

// checksText is what each check asks, and then what the answers do, each once.
func checksText() string {
	var b, does strings.Builder
	told := map[view.Reply]bool{}
	for _, q := range view.Questions {
		fmt.Fprintf(&b, "%s", filled(q.Of+": "+q.Asks+"; look at "+q.Look))
		for _, r := range q.Replies {
			what := r
			what.Short = "" // the same may be called otherwise
			if !told[what] {
				told[what] = true
				fmt.Fprintf(&does, "%s", filled(fmt.Sprintf("%s, %s: %s; then %s", inProtocol(r), r.Short, r.Does, r.Next)))
			}
		}
	}
	return b.String() + "\nWhat the answers to them do:\n" + strings.TrimRight(does.String(), "\n")
}

// inProtocol is an answer of the screen as a line says it.
func inProtocol(r view.Reply) string {
	if said, ok := inLines[r.Key]; ok && r.Key != "Enter" {
		return said
	}
	return `"added":{…}`
}

// filled breaks words for the help, hung by two cells and further lines by four.
func filled(text string) string { return phrase.Hung("  ", "    ", text, 79) + "\n" }
