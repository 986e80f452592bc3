package figure

// BarRow is one bar.
type BarRow struct {
	Name              string
	Parts             []float64 // one or more lengths that are stacked; those below 0 lie to the left. Empty in a total: the sum of the rows above
	Low, High         float64   // interval of the row's sum; both 0: none
	OpenLow, OpenHigh bool      // no limit on that side
	Total             bool      // drawn from 0 in a build-up
	Text              string    // said at the right: "38 %, 12 of 37"; empty: the sum
}

// Bars draws amounts as horizontal bars, one row each, in the order given. Numbers are in the axis' unit, already scaled; the axis is always linear.
type Bars struct {
	Title   string
	Axis    Axis
	Rows    []BarRow
	Parts   []string // names of the stacked parts, at most 4
	Running bool     // each row begins where the last one ended: a build-up
	Source  string   // input file and date, for the small line below; may be empty
}

// Drawing lays the bars out; width 0 is 640 px.
func (b Bars) Drawing(width float64) Drawing { return b.budget().Drawing(width) }

// Text writes the bars.
func (b Bars) Text(width int, style TextStyle) []string { return b.budget().Text(width, style) }

func (b Bars) budget() Budget {
	out := Budget{Title: b.Title, Unit: b.Axis.Unit, Source: b.Source, Most: len(b.Rows)}
	for _, r := range b.Rows {
		sum := 0.0
		for _, p := range r.Parts {
			sum += p
		}
		out.Lines = append(out.Lines, BudgetLine{Name: r.Name, Share: sum, Contribution: sum})
	}
	return out
}
