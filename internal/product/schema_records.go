package product

// The rows of records/*.csv. A row stands for one event, or for a period until a day
// with a count. Needed are the columns with the tag, which holds an example. A day that
// has not come, a million volts and the like are slips of the pen.

// Made is a row of made.csv.
type Made struct {
	Leaf
	Date     Date     `key:"date" is:"past day" needed:"2024-05-31"`
	Until    Date     `key:"until" is:"past day"`
	Count    Quantity `key:"count" is:"count" in:">= 0, <= 1e9"`
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
	Date     Date     `key:"date" is:"past day" needed:"2024-05-31"`
	Until    Date     `key:"until" is:"past day"`
	Count    Quantity `key:"count" is:"count" in:">= 0, <= 1e9"`
	Serial   Text     `key:"serial"`
	Channel  Name     `key:"channel" to:"channel"`
	Price    Quantity `key:"price" is:"sum of money" in:">= 0, <= 1e12"`
	Carriage Quantity `key:"carriage" is:"sum of money" in:">= 0, <= 1e12"`
	Basis    Word     `key:"basis" one:"booked counted remembered"`
	Note     Text     `key:"note"`
}

// Returned is a row of returned.csv; Cost and Minutes are of one unit.
type Returned struct {
	Leaf
	Date     Date     `key:"date" is:"past day" needed:"2024-05-31"`
	Until    Date     `key:"until" is:"past day"`
	Count    Quantity `key:"count" is:"count" in:">= 0, <= 1e9"`
	Serial   Text     `key:"serial"`
	Batch    Text     `key:"batch"`
	Revision Name     `key:"revision" to:"revision"`
	Reason   Text     `key:"reason"`
	Found    Word     `key:"found" one:"fault|no fault"`
	Cost     Quantity `key:"cost" is:"sum of money" in:">= 0, <= 1e12"`
	Minutes  Quantity `key:"minutes" is:"time" in:">= 0, <= 1000 years"`
	Basis    Word     `key:"basis" one:"booked counted remembered"`
	Note     Text     `key:"note"`
}

// Spent is a row of spent.csv.
type Spent struct {
	Leaf
	Date   Date     `key:"date" is:"past day" needed:"2024-05-31"`
	Until  Date     `key:"until" is:"past day"`
	Kind   Text     `key:"kind" needed:"tools"`
	Amount Quantity `key:"amount" is:"sum of money" in:">= -1e12, <= 1e12" needed:"12.50 EUR"`
	Basis  Word     `key:"basis" one:"booked counted remembered"`
	Note   Text     `key:"note"`
}

// Hours is a row of hours.csv.
type Hours struct {
	Leaf
	Date  Date     `key:"date" is:"past day" needed:"2024-05-31"`
	Until Date     `key:"until" is:"past day"`
	Kind  Text     `key:"kind" needed:"making"`
	Time  Quantity `key:"time" is:"time" in:">= 0, <= 1000 years" needed:"3 h"`
	Count Quantity `key:"count" is:"count" in:">= 0, <= 1e9"`
	Step  Name     `key:"step" to:"step"`
	Basis Word     `key:"basis" one:"booked counted remembered"`
	Note  Text     `key:"note"`
}

// Reading is a row of readings.csv.
type Reading struct {
	Leaf
	Date          Date     `key:"date" is:"past day" needed:"2024-05-31"`
	What          Text     `key:"what" needed:"setpoint.float"`
	Value         Outcome  `key:"value" is:"any reading" needed:"27.34 V"`
	Meter         Name     `key:"meter" to:"meter"`
	Serial        Text     `key:"serial"`
	Revision      Name     `key:"revision" to:"revision"`
	Ambient       Quantity `key:"ambient" is:"temperature" in:">= -100 °C, <= 200 °C"`
	ChargeCurrent Quantity `key:"charge_current" is:"current" in:">= 0, <= 1e6 A"`
	LoadCurrent   Quantity `key:"load_current" is:"current" in:">= 0, <= 1e6 A"`
	Mistake       Text     `key:"mistake"`
	State         Text     `key:"state"`
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
