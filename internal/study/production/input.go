package production

import (
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// Value is a quantity of the folder; nil where nothing is written. A figure of money is in the
// currency that it names.
type Value = quantity.Written

// Input is what making and selling a product takes. All but Currency may be missing.
type Input struct {
	Rise      float64 // K, how far the inside of its enclosure lies above the air at the label's current; 0: not known
	Currency  string  // of all results; that of the hour, the price or the first line if it is empty
	Lines     []Line
	Steps     []Step // in the file's order
	Overheads []Overhead
	Channels  []Channel
	Carriage  []Carriage
	Taxes     []Tax
	Quotes    []Quote
	Rates     []Rate

	Hour     *Value // what an hour would pay elsewhere, money/s
	Week     *Value // time a week, s
	Batch    *Value // units started together
	Price    *Value // with tax
	Learning *Value // time of a unit after each doubling of the number, 0..1

	Recorded Recorded
	Instead  []Alternative
	Unused   bool // of what is compared with Instead: what an order leaves over is never used, as by somebody who makes one batch only
	At       int  // units of the batch that is asked for; 0: Batch
	Seed     uint64
	Samples  int  // draws of every input; 0: 50,000
	OneSize  bool // no other batch sizes are looked at
	Cautions []page.Note
}

// Line is something that is bought: [bom.NAME].
type Line struct {
	Name, What    string
	Each          *Value // pieces a unit; 1 if it is missing
	Prices        []Break
	PricesFrom    string
	Minimum, Pack int
	Attrition     *Value // share of the pieces bought that are lost
}

// Break is a price of one piece from a quantity on.
type Break struct {
	From  int
	Price quantity.Quantity
}

// Step is one step of making: [step.NAME].
type Step struct {
	Name, What             string
	Minutes, Setup, Rework *Value // s of a unit, of a batch, of a reworked unit
	Allowance              *Value // share of the time
	Yield, ReworkSuccess   *Value // share that passes at first, and of the rest after rework
	ScrapCost              *Value
	After                  []string
}

// Overhead is [overhead.NAME]; Per is unit, batch, month, year or once.
type Overhead struct {
	Name   string
	Amount *Value
	Per    string
}

// Channel is a way to sell: [channel.NAME].
type Channel struct {
	Name              string
	Fee, Fixed, Share *Value // of the price with tax; of a sale; of the units
}

// Carriage is what sending one costs.
type Carriage struct {
	Name            string
	Amount, Packing *Value
}

// Tax is [tax.NAME]; On is price or profit.
type Tax struct {
	Name string
	Rate *Value
	On   string
}

// Quote is what somebody else asks for some of the steps.
type Quote struct {
	Name, What  string
	Setup, Each *Value
	Minimum     int
	Replaces    []string
	From        string
}

// Rate is what one of another currency is worth.
type Rate struct {
	Currency string
	Value    *Value
}

// An Amount is a sum that was recorded, with its ends where it was a range.
type Amount struct{ Best, Low, High float64 }

// Recorded is what the records tell of the product's own revision, and of all units.
type Recorded struct {
	Own        string // "revision C, from 2023-02-01"; "" for all that was made
	Parts      []Paid
	Hours      []Hours // of making
	AllHours   []Hours // of making of all revisions, for learning
	OtherTime  Amount  // s of all other kinds of work but design, over the whole folder
	MakeTime   Amount  // s of making over the whole folder
	Started    Amount  // units of the own revision by made.csv alone
	Good       Amount  // units of the own revision
	Steps      []Counted
	AllGood    Amount      // units of the whole folder, for overheads
	Years      float64     // from the first to the last day of all that was made or sold; 0 if it is not known
	AllFrom    string      // "records/made.csv"
	Guessed    int         // rows that count by their day alone
	LeftOut    []page.Note // rows that are wrong, one note a file
	SpentShort bool        // some of them are of spending, so that what was paid is at least what is here
}

// Paid is a row of spending on parts.
type Paid struct {
	Amount   Amount
	Currency string
	Period   bool // for a period, not one order
	Basis    string
	From     string
}

// An Alternative is another way to make the product, such as another enclosure: a variant that was
// not made, or without a name product.toml as it is. Of its Input the seed, the records but AllGood and Years, and Instead are not read.
type Alternative struct {
	Name      string
	Enclosure bool // it changes the enclosure
	Input     Input
}

// Hours is the time of one batch, or of one step of it.
type Hours struct {
	Day, Until  string // as written
	Step        string // "" is all
	Time        Amount // s
	Units       Amount // 0 if not written
	Basis, From string
}

// Counted is what became of the units at a step at first.
type Counted struct {
	Step          string // "" where no step is noted
	Rework, Scrap int
}
