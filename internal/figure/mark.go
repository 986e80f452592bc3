package figure

// MarkKind is the kind of evidence that a mark stands for.
type MarkKind uint8

const (
	Calculated MarkKind = iota // hollow ring
	Measured                   // filled square; hollow when carried over
	Recorded                   // filled triangle, point up
)

// Mark is one piece of evidence: a best value with its interval, in the unit of the figure it stands on.
type Mark struct {
	Kind              MarkKind
	Carried           bool    // carried over to other conditions by the model: drawn hollow
	Best, Low, High   float64 // Low ≤ Best ≤ High; a Low or High that is not finite is open
	OpenLow, OpenHigh bool    // no limit on that side: Low or High is not read
	Label             string  // what it stands on in a few words: "3 units, 22 °C"
}
