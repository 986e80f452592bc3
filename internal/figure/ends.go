package figure

// FaultEnd is how a wiring mistake or a part's failure ends, the better first.
type FaultEnd uint8

// A worse end is a greater number.
const (
	Unharmed FaultEnd = iota
	Recovers          // works again when the mistake is corrected
	PartLost
	Harmed // battery or load
	Hazard // heat, gas or acid
	ends   // how many there are
)

// endNames are the words of the ends.
var endNames = [ends]string{"unharmed", "recovers", "part lost", "battery or load harmed", "hazard"}

// String returns the end in words.
func (e FaultEnd) String() string { return endNames[min(e, Hazard)] }

// EndMark is one piece of evidence for an end.
type EndMark struct {
	Kind              MarkKind
	Carried           bool     // carried over to other conditions by the model: drawn hollow
	End               FaultEnd // the worst that came out
	Reach             FaultEnd // the worst that the margin's interval allows, if worse than End
	Margin            float64  // ratio to the nearest limit, > 0; 0 or not finite: none
	Low, High         float64  // its interval
	OpenLow, OpenHigh bool     // no limit on that side
	Label             string   // what it stands on, in a few words: "panel leads touched, full sun"; empty: the kind
}

// Ends draws a promise that bounds an end: boxes from the best end to the worst, the allowed ones hatched, each piece of evidence in the box of its worst end.
type Ends struct {
	Quantity string     // "end of the mistake"
	Allowed  []FaultEnd // empty: no bound
	Marks    []EndMark  // one row each, in this order
	Verdict  string     // as a word: "unproven"; may be empty
}

// EndCell is the worst end of one case.
type EndCell struct {
	End  FaultEnd
	None bool   // there is no such case, or no answer: Text says which
	Open bool   // the interval of the margin reaches a worse end
	Text string // what gives way: "q1, 3.1×"; may be empty
}

// EndsTable shows the worst end of each mistake (down) in each state (across).
type EndsTable struct {
	Title   string
	Rows    []string    // mistakes
	Columns []string    // states
	Cells   [][]EndCell // a row each; missing ones are empty
	Source  string      // input file and date, for the small line below; may be empty
}
