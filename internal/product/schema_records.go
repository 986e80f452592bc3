package product

// The rows of records/*.csv. A row stands for one event, or for a period until a day
// with a count. Needed are the columns with the tag.

// Made is a row of made.csv.
type Made struct {
	Leaf
	Date     Date     `key:"date" needed:"yes"`
	Until    Date     `key:"until"`
	Count    Quantity `key:"count" is:"count" in:">= 0"`
	Serial   Text     `key:"serial"`
	Batch    Text     `key:"batch"`
	Revision Name     `key:"revision" to:"revision"`
	Step     Name     `key:"step" to:"step"`
	Result   Word     `key:"result" one:"pass rework scrap"`
	Basis    Word     `key:"basis" one:"booked counted remembered"`
	Note     Text     `key:"note"`
}

// Sold is a row of sold.csv; Price and Carriage are of one unit.
type Sold struct {
	Leaf
	Date     Date     `key:"date" needed:"yes"`
	Until    Date     `key:"until"`
	Count    Quantity `key:"count" is:"count" in:">= 0"`
	Serial   Text     `key:"serial"`
	Channel  Name     `key:"channel" to:"channel"`
	Price    Quantity `key:"price" is:"sum of money" in:">= 0"`
	Carriage Quantity `key:"carriage" is:"sum of money" in:">= 0"`
	Basis    Word     `key:"basis" one:"booked counted remembered"`
	Note     Text     `key:"note"`
}

// Returned is a row of returned.csv; Cost and Minutes are of one unit.
type Returned struct {
	Leaf
	Date     Date     `key:"date" needed:"yes"`
	Until    Date     `key:"until"`
	Count    Quantity `key:"count" is:"count" in:">= 0"`
	Serial   Text     `key:"serial"`
	Batch    Text     `key:"batch"`
	Revision Name     `key:"revision" to:"revision"`
	Reason   Text     `key:"reason"`
	Found    Word     `key:"found" one:"fault|no fault"`
	Cost     Quantity `key:"cost" is:"sum of money" in:">= 0"`
	Minutes  Quantity `key:"minutes" is:"time" in:">= 0"`
	Basis    Word     `key:"basis" one:"booked counted remembered"`
	Note     Text     `key:"note"`
}

// Spent is a row of spent.csv.
type Spent struct {
	Leaf
	Date   Date     `key:"date" needed:"yes"`
	Until  Date     `key:"until"`
	Kind   Text     `key:"kind" needed:"yes"`
	Amount Quantity `key:"amount" is:"sum of money" needed:"yes"`
	Basis  Word     `key:"basis" one:"booked counted remembered"`
	Note   Text     `key:"note"`
}

// Hours is a row of hours.csv.
type Hours struct {
	Leaf
	Date  Date     `key:"date" needed:"yes"`
	Until Date     `key:"until"`
	Kind  Text     `key:"kind" needed:"yes"`
	Time  Quantity `key:"time" is:"time" in:">= 0" needed:"yes"`
	Count Quantity `key:"count" is:"count" in:">= 0"`
	Step  Name     `key:"step" to:"step"`
	Basis Word     `key:"basis" one:"booked counted remembered"`
	Note  Text     `key:"note"`
}

// Reading is a row of readings.csv.
type Reading struct {
	Leaf
	Date          Date     `key:"date" needed:"yes"`
	What          Text     `key:"what" needed:"yes"`
	Value         Quantity `key:"value" is:"any" needed:"yes"`
	Meter         Name     `key:"meter" to:"meter"`
	Serial        Text     `key:"serial"`
	Revision      Name     `key:"revision" to:"revision"`
	Ambient       Quantity `key:"ambient" is:"temperature" in:">= -100 °C, <= 200 °C"`
	ChargeCurrent Quantity `key:"charge_current" is:"current" in:">= 0"`
	LoadCurrent   Quantity `key:"load_current" is:"current" in:">= 0"`
	Basis         Word     `key:"basis" one:"booked counted remembered"`
	Note          Text     `key:"note"`
}

// Records are all rows that could be read, in the files' order.
type Records struct {
	Made     []Made
	Sold     []Sold
	Returned []Returned
	Spent    []Spent
	Hours    []Hours
	Readings []Reading
}
