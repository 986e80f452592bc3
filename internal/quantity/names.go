package quantity

import "strings"

// kind is how a dimension is spoken of and shown.
type kind struct {
	name    string
	example string
	ladder  string // units that Format picks from, small to large; the one before a "|" is Unit
}

var kinds = map[Dimension]kind{
	Ratio:                 {"ratio", "95 %", "|"},
	Length:                {"length", "82 mm", "nm µm mm m| km"},
	Area:                  {"area", "2.5 mm²", "mm² cm² m²|"},
	Volume:                {"volume", "0.5 L", "mL L m³|"},
	Mass:                  {"mass", "250 g", "mg g kg|"},
	Time:                  {"time", "2 h", "ns µs ms s| min h"},
	Frequency:             {"frequency or rate", "180 Hz", "Hz| kHz MHz GHz"},
	Current:               {"current", "5 A", "pA nA µA mA A| kA"},
	Charge:                {"charge", "100 Ah", "µAh mAh Ah| kAh"},
	TemperaturePoint:      {"temperature", "25 °C", "°C|"},
	TemperatureDifference: {"temperature difference", "5 K", "K|"},
	PerKelvin:             {"change per kelvin", "50 ppm/K", "ppm/K %/K 1/K|"},
	Angle:                 {"angle", "35°", "°|"},
	Step:                  {"number of converter steps", "2 LSB", "LSB|"},
	Digit:                 {"number of meter digits", "2 digits", "digits|"},
	Money:                 {"sum of money", "34 EUR", "¤|"},
	MoneyPerTime:          {"sum of money per time", "15 EUR/h", "¤/h|"},
	Power:                 {"power", "120 W", "nW µW mW W| kW MW"},
	Energy:                {"energy", "1.2 kWh", "µJ mJ J Wh| kWh MWh"},
	Voltage:               {"voltage", "27.3 V", "nV µV mV V| kV"},
	Resistance:            {"resistance", "10 kΩ", "µΩ mΩ Ω| kΩ MΩ GΩ"},
	Capacitance:           {"capacitance", "100 µF", "pF nF µF mF F|"},
	Inductance:            {"inductance", "47 µH", "nH µH mH H|"},
	VoltagePerKelvin:      {"voltage per kelvin", "-48 mV/K", "nV/K µV/K mV/K V/K|"},
	CurrentPerKelvin:      {"current per kelvin", "4 mA/K", "nA/K µA/K mA/K A/K|"},
	ThermalResistance:     {"thermal resistance", "1.5 K/W", "K/W|"},
	ThermalConductance:    {"thermal conductance", "0.8 W/K", "mW/K W/K|"},
	ThermalConductivity:   {"thermal conductivity", "0.2 W/(m·K)", "W/(m·K)|"},
	HeatTransfer:          {"heat transfer coefficient", "8 W/(m²·K)", "W/(m²·K)|"},
	HeatCapacity:          {"heat capacity", "90 J/K", "J/K| kJ/K"},
	Irradiance:            {"irradiance", "800 W/m²", "W/m²|"},
	Irradiation:           {"irradiation", "4.2 kWh/m²", "Wh/m² kWh/m²|"},
	Speed:                 {"speed", "1.5 m/s", "m/s|"},
	Pressure:              {"pressure", "1013 hPa", "Pa| kPa MPa"},
	Force:                 {"force", "20 N", "mN N| kN"},
	MeltingIntegral:       {"melting integral", "120 A²s", "A²s|"},
}

// Name returns what a quantity of d is called, without an article: "voltage",
// "temperature difference"; "quantity in kg·m" for a dimension without a name.
func (d Dimension) Name() string {
	if k, ok := kinds[d]; ok {
		return k.name
	}
	return "quantity in " + d.Unit()
}

// Example returns a quantity of d as it may be written: "27.3 V".
func (d Dimension) Example() string {
	if k, ok := kinds[d]; ok {
		return k.example
	}
	return "1 " + strings.ReplaceAll(d.Unit(), "¤", "EUR")
}

// Unit returns the unit in which a quantity of d is shown if none is asked for:
// "V", "Ω", "K/W", "°C", "Ah"; "" for a ratio. Where a sum of money is part of
// it, ¤ stands for the currency. A dimension without a name is put together from
// base units: "kg·m/s³".
func (d Dimension) Unit() string {
	if k, ok := kinds[d]; ok {
		before, _, _ := strings.Cut(k.ladder, "|")
		return before[strings.LastIndexByte(before, ' ')+1:]
	}
	var over, under []factor
	for i, x := range d.exponents() {
		switch symbol := baseSymbols[i]; {
		case x > 0:
			over = append(over, factor{symbol, int(x)})
		case x < 0:
			under = append(under, factor{symbol, -int(x)})
		}
	}
	return spell(over, under)
}

// baseSymbols are in the order of exponents.
var baseSymbols = [bases]string{"kg", "m", "s", "A", "K", "rad", "LSB", "digits", "¤"}

// ladder returns the units that Format picks from, small to large.
func (d Dimension) ladder() []string {
	return strings.Fields(strings.ReplaceAll(kinds[d].ladder, "|", ""))
}

// an returns a name with its indefinite article.
func an(name string) string {
	if strings.ContainsRune("aeiou", rune(name[0])) {
		return "an " + name
	}
	return "a " + name
}

// wanted returns what an error says when a quantity of d was expected.
func (d Dimension) wanted() string {
	return "want " + an(d.Name()) + " such as " + d.Example()
}
