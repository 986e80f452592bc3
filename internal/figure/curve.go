package figure

// Axis names a quantity and its unit.
type Axis struct{ Name, Unit string }

// Series is one line with its interval. X rises; Mid, Low and High have its length (Low and High may be nil).
type Series struct {
	Name      string
	X         []float64
	Mid       []float64
	Low, High []float64
}

// CurveMark is a mark at a place on the x axis, its interval upright.
type CurveMark struct {
	X    float64
	Mark Mark
}

// Curve draws quantities over another one, such as a deviation over temperature, with the bound they are held to.
type Curve struct {
	Title            string
	X, Y             Axis
	Series           []Series
	Min, Max         []Point // the bound: none = open, one point = the same everywhere, more = straight lines between points of rising X
	MinText, MaxText string
	Marks            []CurveMark
	Source           string
}

func (c Curve) Drawing(width float64) Drawing            { return Drawing{} }
func (c Curve) Text(width int, style TextStyle) []string { return nil }
