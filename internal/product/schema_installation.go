package product

// Installation is installations/NAME.toml: one system that the product is used in.
type Installation struct {
	Leaf
	Place     Text           `key:"place"`
	Invented  Text           `key:"invented"`
	Note      Text           `key:"note"`
	Latitude  Quantity       `key:"latitude" is:"angle" in:">= -90°, <= 90°"`
	Longitude Quantity       `key:"longitude" is:"angle" in:">= -180°, <= 180°"`
	Elevation Quantity       `key:"elevation" is:"length" in:">= -500 m, <= 9000 m"`
	Sun       List[Quantity] `key:"sun" is:"irradiation" in:">= 0" many:"12"`
	Air       List[Quantity] `key:"air" is:"temperature" in:">= -100 °C, <= 70 °C" many:"12"`
	Swing     Quantity       `key:"swing" is:"temperature difference" in:">= 0"`
	Lowest    Quantity       `key:"lowest" is:"temperature" in:">= -100 °C, <= 70 °C"`
	Weather   Text           `key:"weather" is:"file"`
	Zone      Quantity       `key:"zone" is:"time" in:">= -12 h, <= 14 h"`

	Panel   PanelUse   `key:"panel"`
	Battery BatteryUse `key:"battery"`
	Lead    Leads      `key:"lead"`
	Loads   Map[Load]  `key:"load"`
}

// PanelUse is [panel] of an installation; Azimuth counts from north over east.
type PanelUse struct {
	Leaf
	Part       Name     `key:"part" to:"part panel"`
	Run        Name     `key:"run" to:"run iv"`
	InSeries   Count    `key:"in_series" in:">= 1, <= 1000"`
	InParallel Count    `key:"in_parallel" in:">= 1, <= 1000"`
	Tilt       Quantity `key:"tilt" is:"angle" in:">= 0°, <= 180°"`
	Azimuth    Quantity `key:"azimuth" is:"angle" in:">= -360°, <= 360°"`
	Soiling    Quantity `key:"soiling" is:"ratio" in:">= 0, < 100 %"`
	Age        Quantity `key:"age" is:"time" in:">= 0"`
	Ground     Quantity `key:"ground" is:"ratio" in:">= 0, <= 1"`
}

// BatteryUse is [battery] of an installation.
type BatteryUse struct {
	Leaf
	Part       Name     `key:"part" to:"part battery"`
	InSeries   Count    `key:"in_series" in:">= 1, <= 1000"`
	InParallel Count    `key:"in_parallel" in:">= 1, <= 1000"`
	Age        Quantity `key:"age" is:"time" in:">= 0"`
	Rise       Quantity `key:"rise" is:"temperature difference"`
}

// Leads are [lead.panel] and [lead.battery].
type Leads struct {
	Leaf
	Panel   Lead `key:"panel"`
	Battery Lead `key:"battery"`
}

// Load is [load.NAME]: by its current or its power, from a time of day until another.
type Load struct {
	Leaf
	Current Quantity `key:"current" is:"current" in:">= 0"`
	Power   Quantity `key:"power" is:"power" in:">= 0"`
	From    Clock    `key:"from"`
	Until   Clock    `key:"until"`
	Share   Quantity `key:"share" is:"ratio" in:">= 0, <= 100 %"`
}

// Meter is [meter.NAME] of bench/meters.toml.
type Meter struct {
	Leaf
	LastCheck   Date  `key:"last_check"`
	Note        Text  `key:"note"`
	Voltage     Gauge `key:"voltage" is:"voltage"`
	Current     Gauge `key:"current" is:"current"`
	Temperature Gauge `key:"temperature" is:"temperature"`
}

// Gauge is how well a meter measures one kind of quantity. Digit is one step of its
// last digit, of a temperature a difference.
type Gauge struct {
	Leaf
	Accuracy Accuracy `key:"accuracy" is:"the gauge's step"`
	Digit    Quantity `key:"digit" is:"the gauge's step" in:"> 0"`
	Range    Quantity `key:"range" is:"the gauge's"`
}

// Decision is the front matter of decisions/NAME.md.
type Decision struct {
	Leaf
	Date     Date       `key:"date"`
	Variants List[Name] `key:"variants" to:"variant"`
	Promises List[Name] `key:"promises" to:"promise"`
	Believed Map[Text]  `key:"believed"`
	Ends     Flag       `key:"ends_making"`
	Duties   List[Text] `key:"duties"`
	Body     string     // the text behind the front matter
}
