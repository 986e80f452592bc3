package figure

// Strip draws a promise: the allowed region as a hatched band with its bound written at its edge, and each piece of evidence on it.
// All numbers are in Unit, already scaled.
type Strip struct {
	Quantity         string   // "deviation from the target"
	Unit             string   // "V"; may be empty
	Min, Max         *float64 // the bound; nil is open
	MinText, MaxText string   // the bound as written at its edge: "-0.2 V"; empty: made from Min, Max and Unit
	Marks            []Mark   // one row each, in this order
}

func (s Strip) Drawing(width float64) Drawing            { return Drawing{} }
func (s Strip) Text(width int, style TextStyle) []string { return nil }
