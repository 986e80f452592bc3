package figure

// Bin is one column of a histogram.
type Bin struct {
	Low, High float64 // Low < High
	Count     float64 // ≥ 0; any unit
}

// Bins counts values into equal bins between their extremes; values that are not finite are left out.
func Bins(values []float64) []Bin { return nil }

// Distribution draws how a quantity spreads over units, with the bound it is held to.
type Distribution struct {
	Title            string // "" : the quantity
	Quantity, Unit   string
	Bins             []Bin // rising, without overlap; see Bins
	Min, Max         *float64
	MinText, MaxText string
	Inside           string // what is inside the bound, as written in the band: "88 % inside"; may be empty
	Marks            []Mark // intervals drawn below the columns
	Source           string
}

func (d Distribution) Drawing(width float64) Drawing            { return Drawing{} }
func (d Distribution) Text(width int, style TextStyle) []string { return nil }
