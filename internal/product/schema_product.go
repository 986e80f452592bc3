package product

// The tags are the schema: key is the key's name; is the dimension of a quantity or
// what else is to be there; in the bounds of the whole spread; one the words that are
// accepted; to what a name must be the name of; when the kind of part that has the keys;
// span that a range is meant as one, and is no tolerance.

// Main is product.toml.
type Main struct {
	Leaf
	Name           Text       `key:"name"`
	Summary        Text       `key:"summary"`
	Invented       Text       `key:"invented"`
	NominalVoltage Quantity   `key:"nominal_voltage" is:"voltage" in:"> 0, <= 1000 V"`
	Current        Quantity   `key:"current" is:"current" in:"> 0, <= 1000 A"`
	Chemistry      List[Word] `key:"chemistry" one:"flooded agm gel lithium-iron-phosphate"`
	Cells          Count      `key:"cells" in:">= 1, <= 400"`
	Currency       Text       `key:"currency" is:"currency"`
	AcceptedFor    Quantity   `key:"accepted_for" is:"time" in:">= 0"`
	Recorded       Date       `key:"records_until" is:"past day"`
	Revision       Text       `key:"revision"`
	MadeFrom       Date       `key:"made_from"`
	FromSerial     Text       `key:"from_serial"`

	Regulation Regulation     `key:"regulation"`
	Sense      Sense          `key:"sense"`
	Indicator  Indicator      `key:"indicator"`
	Standby    Standby        `key:"standby"`
	Circuit    Map[Component] `key:"circuit"`
	Enclosures Map[Enclosure] `key:"enclosure"`
}

// Regulation is [regulation]: what the controller is to hold.
type Regulation struct {
	Leaf
	Method                  Word     `key:"method" one:"pwm on-off"`
	Switch                  Word     `key:"switch" one:"series shunt"`
	Frequency               Quantity `key:"frequency" is:"frequency" in:"> 0"`
	Absorption              Level    `key:"absorption" is:"voltage" in:"> 0, <= 1000 V"`
	Float                   Level    `key:"float" is:"voltage" in:"> 0, <= 1000 V"`
	Equalise                Level    `key:"equalise" is:"voltage" in:"> 0, <= 1000 V"`
	Hysteresis              Quantity `key:"hysteresis" is:"voltage" in:"> 0, <= 1000 V"`
	TemperatureCompensation Quantity `key:"temperature_compensation" is:"voltage per kelvin" in:">= -10 V/K, <= 10 V/K"`
	CompensationLimits      Quantity `key:"compensation_limits" is:"temperature" in:">= -100 °C, <= 200 °C" span:"yes"`
	LoadDisconnect          Quantity `key:"load_disconnect" is:"voltage" in:"> 0, <= 1000 V"`
	LoadReconnect           Quantity `key:"load_reconnect" is:"voltage" in:"> 0, <= 1000 V"`
	LoadDelay               Quantity `key:"load_delay" is:"time" in:">= 0, <= 1 h"`
	ChargeStopBelow         Quantity `key:"charge_stop_below" is:"temperature" in:">= -100 °C, <= 200 °C"`
	ChargeStopAbove         Quantity `key:"charge_stop_above" is:"temperature" in:">= -100 °C, <= 200 °C"`
	CurrentAtAbsorption     Quantity `key:"current_at_absorption" is:"current" in:">= 0, <= 1000 A"`
	CurrentAtFloat          Quantity `key:"current_at_float" is:"current" in:">= 0, <= 1000 A"`
	LoadCurrent             Quantity `key:"load_current" is:"current" in:">= 0, <= 1000 A"`
	LoadVoltageMax          Quantity `key:"load_voltage_max" is:"voltage" in:"> 0, <= 1000 V"`
	AutomaticVoltage        Flag     `key:"automatic_voltage"`
	ReverseOff              Quantity `key:"reverse_off" is:"time" in:"> 0, <= 1 min"`
}

// Sense is [sense]: how the battery's voltage is judged.
type Sense struct {
	Leaf
	Top               Quantity   `key:"top" is:"resistance" in:"> 0, <= 1 GΩ"`
	Bottom            Quantity   `key:"bottom" is:"resistance" in:"> 0, <= 1 GΩ"`
	Reference         Reference  `key:"reference" is:"voltage" in:"> 0, <= 1000 V"`
	Supply            Quantity   `key:"supply" is:"voltage" in:"> 0, <= 1000 V"`
	Bits              Count      `key:"bits" in:">= 1, <= 24"`
	Offset            Quantity   `key:"offset" is:"steps" in:">= -1000000 LSB, <= 1000000 LSB"`
	Nonlinearity      Quantity   `key:"nonlinearity" is:"steps" in:">= -1000000 LSB, <= 1000000 LSB"`
	Leakage           Quantity   `key:"leakage" is:"current" in:">= -1 A, <= 1 A"`
	Ageing            Quantity   `key:"ageing" is:"ratio" in:"> -100 %, < 100 %"`
	Sampled           Word       `key:"sampled" one:"on off mean"`
	Sensor            Word       `key:"sensor" one:"battery board none"`
	SensorError       Quantity   `key:"sensor_error" is:"temperature difference" in:">= -200 K, <= 200 K"`
	BoardRise         Quantity   `key:"board_rise" is:"temperature difference" in:">= -200 K, <= 200 K"`
	BatteryRise       Quantity   `key:"battery_rise" is:"temperature difference" in:">= -200 K, <= 200 K"`
	Lead              Lead       `key:"lead"`
	BatteryResistance Quantity   `key:"battery_resistance" is:"resistance" in:">= 0, <= 1 MΩ"`
	Trimmed           Trim       `key:"trimmed"`
	Unknown           List[Text] `key:"unknown"`
}

// Lead is a pair of conductors: one way, each conductor; contacts, both together.
type Lead struct {
	Leaf
	Length   Quantity `key:"length" is:"length" in:">= 0, <= 10 km"`
	Area     Quantity `key:"area" is:"area" in:">= 0.001 mm², <= 1 m²"`
	Contacts Quantity `key:"contacts" is:"resistance" in:">= 0, <= 1 MΩ"`
}

// Trim is how each unit is adjusted, or that it is not.
type Trim struct {
	Leaf
	None        bool           // "none" is written
	At          List[Quantity] `key:"at" is:"voltage" in:"> 0, <= 1000 V"`
	By          MeterOr        `key:"by" is:"voltage"`
	Digit       Quantity       `key:"digit" is:"voltage" in:"> 0, <= 1000 V"`
	Temperature Quantity       `key:"temperature" is:"temperature" in:">= -100 °C, <= 200 °C"`
	Method      Word           `key:"method" one:"gain offset"`
	Step        Quantity       `key:"step" is:"voltage" in:"> 0, <= 1000 V"`
}

// MeterOr is the name of a meter, or an accuracy written out.
type MeterOr struct {
	Leaf
	Meter    string // "" if an accuracy is written
	Accuracy Accuracy
}

// Indicator is [indicator]: how the product shows the battery's voltage.
type Indicator struct {
	Leaf
	Kind       Word           `key:"kind" one:"digits lamps"`
	Step       Quantity       `key:"step" is:"voltage" in:"> 0, <= 1000 V"`
	Rounding   Word           `key:"rounding" one:"round truncate"`
	Range      Quantity       `key:"range" is:"voltage" in:">= 0" span:"yes"`
	Thresholds List[Quantity] `key:"thresholds" is:"voltage" in:"> 0"`
}

// Standby is [standby]: what the product draws from the battery.
type Standby struct {
	Leaf
	ByDay   Quantity `key:"by_day" is:"current" in:">= 0"`
	ByNight Quantity `key:"by_night" is:"current" in:">= 0"`
}

// Component is one entry of [circuit].
type Component struct {
	Leaf
	Part   Name     `key:"part" to:"part"`
	From   Text     `key:"from"`
	To     Text     `key:"to"`
	Drain  Text     `key:"drain"`
	Source Text     `key:"source"`
	Gate   Text     `key:"gate"`
	In     Name     `key:"in" to:"place"`
	Role   Word     `key:"role" one:"switch load-switch blocking fuse clamp divider-top divider-bottom reference supply sensor control"`
	Length Quantity `key:"length" is:"length" in:"> 0"`
	Area   Quantity `key:"area" is:"area" in:">= 0.001 mm², <= 1 m²"`
}

// Enclosure is [enclosure.NAME].
type Enclosure struct {
	Leaf
	Shape               Word     `key:"shape" one:"box tube sleeve"`
	Size                Size     `key:"size"`
	Filling             Word     `key:"filling" one:"air potting glue"`
	FillingConductivity Quantity `key:"filling_conductivity" is:"thermal conductivity" in:"> 0"`
	Wall                Wall     `key:"wall"`
	Emissivity          Quantity `key:"emissivity" is:"ratio" in:">= 0, <= 1"`
	Absorptance         Quantity `key:"absorptance" is:"ratio" in:">= 0, <= 1"`
	Mounted             Word     `key:"mounted" one:"free wood metal"`
	Position            Word     `key:"position" one:"upright flat"`
	Inside              Name     `key:"inside" to:"enclosure"`
	Board               Size     `key:"board"`
	Copper              Quantity `key:"copper" is:"length" in:"> 0"`
}
