package product

// Part is [part.NAME]: a component, by its datasheet. The one field that belongs to
// its kind is set, the others are nil.
type Part struct {
	Leaf
	Kind      Word `key:"kind" one:"resistor wire track contact diode mosfet fuse clamp capacitor thermistor reference regulator control lamp panel battery"`
	Note      Text `key:"note"`
	Datasheet Text `key:"datasheet"`

	Resistor   *Resistor         `when:"resistor"`
	Wire       *Wire             `when:"wire"`
	Track      *Track            `when:"track"`
	Contact    *Contact          `when:"contact"`
	Diode      *Diode            `when:"diode"`
	Mosfet     *Mosfet           `when:"mosfet"`
	Fuse       *Fuse             `when:"fuse"`
	Clamp      *Clamp            `when:"clamp"`
	Capacitor  *Capacitor        `when:"capacitor"`
	Thermistor *Thermistor       `when:"thermistor"`
	Reference  *VoltageReference `when:"reference"`
	Regulator  *Regulator        `when:"regulator"`
	Control    *Control          `when:"control"`
	Lamp       *Lamp             `when:"lamp"`
	Panel      *Panel            `when:"panel"`
	Battery    *Battery          `when:"battery"`
}

// Resistor is a part of that kind.
type Resistor struct {
	Resistance        Quantity `key:"resistance" is:"resistance" in:"> 0"`
	Power             Quantity `key:"power" is:"power" in:"> 0"`
	ThermalResistance Quantity `key:"thermal_resistance" is:"thermal resistance" in:"> 0"`
}

// Wire is a conductor; Inductance is per metre of a pair.
type Wire struct {
	Area       Quantity `key:"area" is:"area" in:"> 0"`
	Length     Quantity `key:"length" is:"length" in:"> 0"`
	Class      Count    `key:"class" in:">= 2, <= 5" one:"2 5"`
	Insulation Word     `key:"insulation" one:"pvc xlpe silicone"`
	Inductance Quantity `key:"inductance" is:"inductance per length" in:"> 0"`
}

// Track is a conductor on a circuit board.
type Track struct {
	Width  Quantity `key:"width" is:"length" in:"> 0"`
	Length Quantity `key:"length" is:"length" in:"> 0"`
	Copper Quantity `key:"copper" is:"length" in:"> 0"`
	Layer  Word     `key:"layer" one:"outer inner"`
}

// Contact is a terminal, a clip, a solder joint.
type Contact struct {
	Resistance     Quantity `key:"resistance" is:"resistance" in:">= 0"`
	Current        Quantity `key:"current" is:"current" in:"> 0"`
	MaxTemperature Quantity `key:"max_temperature" is:"temperature" in:"> -100 °C, <= 500 °C"`
}

// Diode is a part of that kind.
type Diode struct {
	Drops             List[Drop] `key:"drops"`
	Tempco            Quantity   `key:"tempco" is:"voltage per kelvin"`
	Series            Quantity   `key:"series" is:"resistance" in:">= 0"`
	Leakage           Quantity   `key:"leakage" is:"current" in:">= 0"`
	LeakageVoltage    Quantity   `key:"leakage_voltage" is:"voltage" in:"> 0"`
	LeakageExponent   Quantity   `key:"leakage_exponent" is:"per kelvin" in:">= 0"`
	ReverseVoltage    Quantity   `key:"reverse_voltage" is:"voltage" in:"> 0"`
	Current           Quantity   `key:"current" is:"current" in:"> 0"`
	SurgeCurrent      Quantity   `key:"surge_current" is:"current" in:"> 0"`
	JunctionToCase    Quantity   `key:"junction_to_case" is:"thermal resistance" in:"> 0"`
	JunctionToAmbient Quantity   `key:"junction_to_ambient" is:"thermal resistance" in:"> 0"`
	MaxJunction       Quantity   `key:"max_junction" is:"temperature" in:"> 0 °C, <= 500 °C"`
}

// Mosfet is a part of that kind; its values are magnitudes for either channel.
type Mosfet struct {
	Channel            Word        `key:"channel" one:"n p"`
	OnResistance       Quantity    `key:"on_resistance" is:"resistance" in:"> 0"`
	OnResistanceDrive  Quantity    `key:"on_resistance_drive" is:"voltage" in:"> 0"`
	OnResistanceTempco Quantity    `key:"on_resistance_tempco" is:"per kelvin"`
	Drive              Quantity    `key:"drive" is:"voltage" in:"> 0"`
	Threshold          Quantity    `key:"threshold" is:"voltage" in:"> 0"`
	DrainVoltage       Quantity    `key:"drain_voltage" is:"voltage" in:"> 0"`
	GateVoltage        Quantity    `key:"gate_voltage" is:"voltage" in:"> 0"`
	Current            Quantity    `key:"current" is:"current" in:"> 0"`
	GateCharge         Quantity    `key:"gate_charge" is:"charge" in:"> 0"`
	GateDrainCharge    Quantity    `key:"gate_drain_charge" is:"charge" in:"> 0"`
	GateResistance     Quantity    `key:"gate_resistance" is:"resistance" in:">= 0"`
	Plateau            Quantity    `key:"plateau" is:"voltage" in:"> 0"`
	BodyDrop           Quantity    `key:"body_drop" is:"voltage" in:"> 0"`
	Leakage            Quantity    `key:"leakage" is:"current" in:">= 0"`
	AvalancheEnergy    Quantity    `key:"avalanche_energy" is:"energy" in:">= 0"`
	JunctionToCase     Quantity    `key:"junction_to_case" is:"thermal resistance" in:"> 0"`
	JunctionToAmbient  Quantity    `key:"junction_to_ambient" is:"thermal resistance" in:"> 0"`
	MaxJunction        Quantity    `key:"max_junction" is:"temperature" in:"> 0 °C, <= 500 °C"`
	Stages             List[Stage] `key:"stages"`
}

// Fuse is a part of that kind.
type Fuse struct {
	Rating           Quantity      `key:"rating" is:"current" in:"> 0"`
	Resistance       Quantity      `key:"resistance" is:"resistance" in:"> 0"`
	MeltingIntegral  Quantity      `key:"melting_integral" is:"melting integral" in:"> 0"`
	Voltage          Quantity      `key:"voltage" is:"voltage" in:"> 0"`
	BreakingCapacity Quantity      `key:"breaking_capacity" is:"current" in:"> 0"`
	Points           List[Melting] `key:"points"`
	ContinuousShare  Quantity      `key:"continuous_share" is:"ratio" in:"> 0, <= 1"`
	Derating         Quantity      `key:"derating" is:"per kelvin" in:">= 0, <= 0.01"`
}

// Clamp is a part that takes surges.
type Clamp struct {
	Standoff        Quantity `key:"standoff" is:"voltage" in:"> 0"`
	Breakdown       Quantity `key:"breakdown" is:"voltage" in:"> 0"`
	Clamping        Quantity `key:"clamping" is:"voltage" in:"> 0"`
	ClampingCurrent Quantity `key:"clamping_current" is:"current" in:"> 0"`
	Power           Quantity `key:"power" is:"power" in:"> 0"`
	Energy          Quantity `key:"energy" is:"energy" in:"> 0"`
}

// Capacitor is a part of that kind.
type Capacitor struct {
	Capacitance    Quantity `key:"capacitance" is:"capacitance" in:"> 0"`
	Voltage        Quantity `key:"voltage" is:"voltage" in:"> 0"`
	Series         Quantity `key:"series" is:"resistance" in:">= 0"`
	RippleCurrent  Quantity `key:"ripple_current" is:"current" in:"> 0"`
	MaxTemperature Quantity `key:"max_temperature" is:"temperature" in:"> -100 °C, <= 500 °C"`
	Life           Quantity `key:"life" is:"time" in:"> 0"`
}

// Thermistor is a part of that kind.
type Thermistor struct {
	Resistance    Quantity `key:"resistance" is:"resistance" in:"> 0"`
	Beta          Quantity `key:"beta" is:"temperature difference" in:"> 0"`
	BetaTolerance Quantity `key:"beta_tolerance" is:"ratio" in:"> -100 %, < 100 %"`
}

// VoltageReference is a part of the kind "reference".
type VoltageReference struct {
	Voltage Quantity `key:"voltage" is:"voltage" in:"> 0"`
}

// Regulator makes a supply.
type Regulator struct {
	Output            Quantity `key:"output" is:"voltage" in:"> 0"`
	InputMax          Quantity `key:"input_max" is:"voltage" in:"> 0"`
	Quiescent         Quantity `key:"quiescent" is:"current" in:">= 0"`
	JunctionToAmbient Quantity `key:"junction_to_ambient" is:"thermal resistance" in:"> 0"`
	MaxJunction       Quantity `key:"max_junction" is:"temperature" in:"> 0 °C, <= 500 °C"`
}

// Control is the control circuit.
type Control struct {
	Supply       Quantity `key:"supply" is:"voltage" in:"> 0"`
	Current      Quantity `key:"current" is:"current" in:">= 0"`
	SleepCurrent Quantity `key:"sleep_current" is:"current" in:">= 0"`
	InputMax     Quantity `key:"input_max" is:"voltage" in:"> 0"`
}

// Lamp is an indicator's lamp.
type Lamp struct {
	Current Quantity `key:"current" is:"current" in:">= 0"`
	Drop    Quantity `key:"drop" is:"voltage" in:"> 0"`
}

// Panel is a solar panel, by its label.
type Panel struct {
	ShortCircuitCurrent Quantity `key:"short_circuit_current" is:"current" in:"> 0"`
	OpenCircuitVoltage  Quantity `key:"open_circuit_voltage" is:"voltage" in:"> 0"`
	PeakCurrent         Quantity `key:"peak_current" is:"current" in:"> 0"`
	PeakVoltage         Quantity `key:"peak_voltage" is:"voltage" in:"> 0"`
	PeakPower           Quantity `key:"peak_power" is:"power" in:"> 0"`
	Cells               Count    `key:"cells" in:">= 1, <= 1000"`
	CurrentTempco       Quantity `key:"current_tempco" is:"current per kelvin"`
	VoltageTempco       Quantity `key:"voltage_tempco" is:"voltage per kelvin"`
	Technology          Word     `key:"technology" one:"mono poly amorphous"`
	NOCT                Quantity `key:"noct" is:"temperature" in:"> 0 °C, < 150 °C"`
	DarkShunt           Quantity `key:"dark_shunt" is:"resistance" in:"> 0"`
	Bypass              Flag     `key:"bypass"`
	Area                Quantity `key:"area" is:"area" in:"> 0"`
	Run                 Name     `key:"run" to:"run iv"`
}

// Battery is a battery or a block of one. Gassing is the current at 2.23 V a cell and
// 25 °C of 100 Ah.
type Battery struct {
	Chemistry      Word     `key:"chemistry" one:"flooded agm gel lithium-iron-phosphate"`
	Capacity       Quantity `key:"capacity" is:"charge" in:"> 0"`
	Hours          Count    `key:"hours" in:">= 1, <= 1000"`
	Cells          Count    `key:"cells" in:">= 1, <= 400"`
	Resistance     Quantity `key:"resistance" is:"resistance" in:">= 0"`
	SelfDischarge  Quantity `key:"self_discharge" is:"rate" in:">= 0"`
	Recombination  Quantity `key:"recombination" is:"ratio" in:">= 0, <= 1"`
	Gassing        Quantity `key:"gassing" is:"current" in:">= 0"`
	LifeCycles     Quantity `key:"life_cycles" is:"count" in:"> 0"`
	ProtectionHigh Quantity `key:"protection_high" is:"voltage" in:"> 0"`
	ProtectionLow  Quantity `key:"protection_low" is:"voltage" in:"> 0"`
}
