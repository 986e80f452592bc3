package product

// Run is bench/NAME.toml: what was done on the bench, and what stands in which column of the log
// that was written of it. It belongs to no variant: a variant changes nothing of what was measured.
type Run struct {
	Leaf
	Kind       Word          `key:"kind" one:"curve thresholds soak iv pair"`
	Note       Text          `key:"note"`
	Invented   Text          `key:"invented"`
	Date       Date          `key:"date" is:"past day"`
	Rig        Text          `key:"rig"`
	Serial     List[Text]    `key:"serial"`
	Revision   Name          `key:"revision" to:"revision other"`
	Shows      List[Text]    `key:"shows"`
	Meter      Name          `key:"meter" to:"meter"`
	Panel      Name          `key:"panel" to:"part panel"`
	Runs       List[Name]    `key:"runs" to:"run"`
	Conditions RunConditions `key:"conditions"`

	Log       Text     `key:"log"`
	Interval  Quantity `key:"interval" is:"time" in:"> 0"`
	Averaging Quantity `key:"averaging" is:"time" in:"> 0"`
	Dates     Word     `key:"dates" one:"dmy mdy ymd"`
	Decimal   Word     `key:"decimal" one:"point comma"`

	Columns Map[LogColumn] `key:"column"`
	Spans   Map[Span]      `key:"span"`
	Hand    Map[RunHand]   `key:"hand"`
}

// RunConditions are those that were held, or noted, through a run.
type RunConditions struct {
	Leaf
	Ambient       Quantity `key:"ambient" is:"temperature" in:">= -100 °C, <= 200 °C"`
	ChargeCurrent Quantity `key:"charge_current" is:"current" in:">= 0, <= 1e6 A"`
	LoadCurrent   Quantity `key:"load_current" is:"current" in:">= 0, <= 1e6 A"`
	Current       Quantity `key:"current" is:"current" in:">= 0, <= 1e6 A"`
	Irradiance    Quantity `key:"irradiance" is:"irradiance" in:">= 0 W/m2, <= 2000 W/m2"`
	Cells         Quantity `key:"cells" is:"temperature" in:">= -100 °C, <= 200 °C"`
	Power         Quantity `key:"power" is:"power" in:"> 0, <= 1 MW"`
}

// LogColumn is [column.NAME] of a run: one column of its log that is read. Place is where the probe sat.
type LogColumn struct {
	Leaf
	Is     Word  `key:"is" one:"time|date|battery voltage|panel voltage|supply voltage|output voltage|charge current|load current|panel current|drop|temperature|irradiance"`
	Header Text  `key:"header"`
	Number Count `key:"number" in:">= 1, <= 1000"`
	Unit   Text  `key:"unit"`
	Place  Text  `key:"place"`
	Meter  Name  `key:"meter" to:"meter"`
	Serial Text  `key:"serial"`

	Revision Name `key:"revision" to:"revision other"`
}

// RunHand is [hand.NAME] of a run: one of two readings by hand, in place of a log.
type RunHand struct {
	Leaf
	Is       Word     `key:"is" one:"battery voltage|panel voltage|charge current|load current|panel current"`
	Value    Quantity `key:"value" is:"any reading"`
	Serial   Text     `key:"serial"`
	Revision Name     `key:"revision" to:"revision other"`
	Meter    Name     `key:"meter" to:"meter"`
}

// Span is [span.NAME] of a run: a part of its log, by the time since the log's first row.
type Span struct {
	Leaf
	From     Quantity `key:"from" is:"time" in:">= 0"`
	Until    Quantity `key:"until" is:"time" in:"> 0"`
	Serial   Text     `key:"serial"`
	Revision Name     `key:"revision" to:"revision other"`
	LeftOut  Flag     `key:"left_out"`
}
