package view

import (
	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/spot"
)

// View is the state as a front end shows it.
type View struct {
	T       float64 // s since the start, now
	Version int     // changes when anything but the present reading has changed

	Name      string
	Target    float64 // pH in use
	Tolerance float64
	UseTemp   chem.Celsius
	BenchTemp chem.Celsius // measured when the meter sends it, else as planned
	Measured  bool         // BenchTemp was measured

	Advice   coach.Advice
	Titrant  string   // of Advice, when it is about an addition
	Offer    *Offer   // what is safe now instead of waiting on; nil for nothing
	Ordered  bool     // Advice is an order that stands
	Was      float64  // drops of the order that it replaced; 0 for none
	Falling  *Falling // how far the order is carried out; nil before anything of it fell
	Titrants []string
	InML     []bool    // each of them that is given in mL, by a pipette or a burette
	PerLitre []float64 // labelled charge of a litre of each titrant, mol; acid below zero

	HasReading bool
	PH         float64 // the last reading as the meter shows it
	Decimals   int
	Age        float64 // s since it came
	Settling   probe.Estimate
	ByHand     bool   // a person types what the display shows
	Next       *Next  // when the next of these values is wanted; nil when none is
	Link       string // state of the line, in a word; empty when the source has no line
	LinkNote   string
	Seldom     bool // the meter may be one that sends only what changes
	Refused    int  // readings and lines that were not used
	Refusal    string
	Poor       string   // what is wrong with a line from which readings come
	Unread     bool     // lines come, and none of them is a reading; LinkNote says why
	Unused     string   // the latest line that was not used and why, for a while after it came
	Note       string   // what else the person should know of the readings
	AtRest     bool     // the meter shows the beaker, and is at rest
	Read       Value    // what it shows then
	Reached    bool     // done was said, and only the electrode or the line has left since: Read is what was read then
	Found      *Finding // the answer, where an amount is looked for and not a pH; else nil
	Level      float64  // pH that the reading has left by itself, for coach.Moved, or is leaving
	Waiting    []string // what goes in once the pH is set, before it is made up, each with how much
	Turned     string   // what speaks against a reading after an addition on record; empty where nothing does
	Mark       float64  // mL, the larger mark that is proposed where there is no room; else 0
	Unweighed  bool     // nobody knows what is in the beaker
	Aside      string   // the bottle of which nothing was given, twice, where none else serves; empty elsewhere
	Stronger   string   // a bottle that does with few drops what is asked about as too many; empty elsewhere
	Instead    *Instead // what would be given of a drop that is too large; nil elsewhere
	Brought    float64  // times what the plan says a drop did, where done is said and it is far from 1; else 0
	Amended    []string // what of the plan turned out to be otherwise
	Leaving    bool     // the reading begins to move with nothing on record

	Volume  chem.Volume // in the beaker now, by the labels
	Start   chem.Volume
	Final   chem.Volume
	Entries []Entry
	Points  []Point // settled readings, the present one last
	Charge  float64 // labelled charge added, mol
	Aimed   float64 // labelled charge at which the plan expects the aim

	Curve []coach.CurvePoint // as believed, from the start to well past the aim

	Giving  *Giving         // drops that the simulated bench lets fall now
	Heard   int64           // the latest Intent that was carried out or refused, by its ID
	Answers []intent.Answer // what came of what the person asked for, since the last view that was taken

	Cautions    []string            // what is to be said of the calibration
	Doubtful    string              // not empty when the aim is reached and the calibration is in doubt: in a word or two
	Calibration string              // what the pH rests on, in a few words; empty when the run was told nothing
	Share       float64             // of the tolerance, left to what the calibration may be off by, pH
	Spread      float64             // standard deviation of the pH by the calibration, at the reading; NaN when unknown
	Away        *Away               // a check in standards that goes on; nil while the electrode is in the beaker
	Standards   []string            // those that a check in standards would be in, by their nominal values
	Verified    *calib.Verification // the latest check in standards; nil for none
	Spotted     []spot.Finding      // what the readings say is wrong at the bench
	Silent      string              // not empty when the coach keeps silent: what is said instead

	Noted   journal.Note // what is on record of the plate
	Outcome string       // not empty when the run was closed
	Alarm   string       // what else is wrong, such as a journal that cannot be written
}

// VagueSD is the spread of a reading, pH, from which on it is too early to say where it
// will end: no screen names an end then, and the coach is not asked.
const VagueSD = 0.2

// EndSD is the spread, pH, from which on nothing is said of where a reading will end.
const EndSD = 0.3

// UnknownComposition is what is said of a beaker that nobody weighed.
const UnknownComposition = "the composition is not known: the aim is for the beaker as it is, and nothing is predicted for a mark or another temperature"
