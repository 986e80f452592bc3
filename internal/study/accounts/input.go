package accounts

import (
	"time"

	"hindwatt/internal/quantity"
)

// A Value is a quantity as written, and where; nil stands for one that is not there.
type Value = quantity.Written

// A Row is what all records share.
type Row struct {
	Date  time.Time
	Until time.Time // zero: the day alone
	Basis string    // booked, counted, remembered or ""
	From  string    // "records/sold.csv:4"
}

// Made is a unit, or a count of them, that was begun.
type Made struct {
	Row
	Count *Value // nil: 1
	Scrap bool
}

// Sold is a sale; Price is what the buyer paid for one, with tax, Carriage what sending one cost.
type Sold struct {
	Row
	Count           *Value // nil: 1
	Channel         string
	Price, Carriage *Value
}

// Returned is what came back; Cost and Minutes are of one unit.
type Returned struct {
	Row
	Count         *Value // nil: 1
	Cost, Minutes *Value
	NoFault       bool // somebody looked, and found none
}

// Spent is money spent on a kind of thing. Group is the usual kind it belongs to: "parts", "packing", "carriage-of-parts", one of
// those that sales and returns tell of ("channel fees", "sending", "what came back", "tax passed on"), or "" where it stands by itself.
type Spent struct {
	Row
	Kind, Group string
	Amount      *Value
}

// Hours is time worked at a kind of work, on Count units at a Step where that is known. Group is "design", "sourcing", "building",
// "testing", "packing", "support", "accounts", or "" where the kind stands by itself.
type Hours struct {
	Row
	Kind, Group, Step string
	Time              *Value
	Count             *Value
}

// Part is a line of what is bought for a unit.
type Part struct {
	Name      string
	Each      *Value  // nil: 1
	Breaks    []Break // rising in From
	Attrition *Value
	From      string

	MinimumOrder, Pack int // 0: any number
}

// Break is the price of one when at least From are bought at once.
type Break struct {
	From  int
	Price quantity.Quantity
}

// Step is a step of making a unit.
type Step struct {
	Name                                      string
	Minutes, Setup, Allowance, Yield, Reworks *Value // Reworks: time of one rework
	From                                      string
}

// Channel is a way of selling: Fee is a ratio of the price with tax, Fixed a sum a unit.
type Channel struct {
	Name              string
	Fee, Fixed, Share *Value
}

// Carriage is what sending one costs.
type Carriage struct {
	Name            string
	Amount, Packing *Value
}

// Tax is a rate on the price, or on the profit.
type Tax struct {
	Name     string
	Rate     *Value
	OnProfit bool
}

// Overhead is a running cost of production.toml, for comparison with what was spent.
type Overhead struct{ Name, From string }

// Rate is what one of a currency is worth.
type Rate struct {
	Currency string
	Value    *Value
}

// Input is all that the accounts are made of. Everything may be missing.
type Input struct {
	Currency string // to account in; "": the first that is found

	Made     []Made
	Sold     []Sold
	Returned []Returned
	Spent    []Spent
	Hours    []Hours

	Parts     []Part
	Steps     []Step
	Channels  []Channel
	Carriages []Carriage
	Taxes     []Tax
	Overheads []Overhead
	Rates     []Rate

	Hour        *Value // what an hour would pay elsewhere
	Price       *Value // of one, with tax, where a sale has none
	MarketPrice *Value // of a bought one, with tax
	Design      *Value // time, where hours of design are not recorded
	Batch       *Value
	AcceptedFor *Value    // how long a unit may come back
	Today       time.Time // the records are complete up to this day; zero: the last that they name

	Quoted bool   // somebody was asked to do some steps: the page points to where that is weighed
	PartOf string // "revision C": the page says that the records are those of the whole product
	Seed   uint64
}
