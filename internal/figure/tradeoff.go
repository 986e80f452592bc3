package figure

// TradePoint is what one choice leads to, by two measures.
type TradePoint struct {
	X, Y                     float64
	LowX, HighX, LowY, HighY float64 // intervals; both of an axis 0: none
	Text                     string  // the choice: "27.3 V"; may be empty
	Chosen                   bool    // it is the product's own
}

// TradePath is what a setting leads to while it is varied.
type TradePath struct {
	Name   string       // the setting: "float"; paths of one name have one shape of points
	Group  string       // where: "cold and dark"; paths of one group have one stroke; empty: none
	Points []TradePoint // in the order of the setting
}

// Tradeoff draws two measures of choices against each other. Numbers are in the axes' units, already scaled; points that the axes cannot show are left out.
type Tradeoff struct {
	Title        string
	X, Y         Axis // linear or logarithmic
	Paths        []TradePath
	MoreX, MoreY bool   // more is better on that axis; else less
	Front        bool   // draw the front of the points that no other betters on both measures
	Source       string // input file and date, for the small line below; may be empty
}
