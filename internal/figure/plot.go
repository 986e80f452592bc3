package figure

// Plot is a figure that can be drawn at any width and written in a terminal.
type Plot interface {
	// Drawing lays the figure out for a width in px; 0 takes the figure's own width.
	Drawing(width float64) Drawing
	// Text lays it out in lines of at most width columns.
	Text(width int, style TextStyle) []string
}

var (
	_ Plot = Strip{}
	_ Plot = Distribution{}
	_ Plot = Budget{}
	_ Plot = Curve{}
	_ Plot = Bars{}
	_ Plot = Carpet{}
	_ Plot = Totals{}
	_ Plot = Tradeoff{}
	_ Plot = Ends{}
	_ Plot = EndsTable{}
	_ Plot = Swings{}
	_ Plot = Strips{}
)
