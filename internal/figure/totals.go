package figure

// Total is one running total.
type Total struct {
	Name string    // "delivered"
	Sum  []float64 // as long as Totals.X
	Text string    // said at its end: "delivered 259 kWh, 241..275"; empty: made from Name and the last sum
}

// Gap is what lies between two running totals.
type Gap struct {
	Upper, Lower int    // places in Totals.Curves; it is filled where the upper is above the lower
	Name         string // "spilled"
	Text         string // said in it: "spilled 41 kWh, 36..47"; empty: made from Name and the last difference
	Harm         bool   // what was not had, such as unmet energy: hatched in the warm tone; else toned
}

// Totals draws sums that grow through a year, and what lies between them. Numbers are in the axis' unit, already scaled; the axis is always linear.
type Totals struct {
	Title  string
	Axis   Axis      // of the sums: name and unit
	X      []float64 // rising; days since 1970-01-01, or, all within 0..366, of a year without a name, 0 = 1 January
	Curves []Total   // from the top, at most six
	Gaps   []Gap
	Source string // input file and date, for the small line below; may be empty
}
