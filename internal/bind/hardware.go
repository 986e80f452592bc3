package bind

import (
	"hindwatt/internal/hardware"
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
)

// Hardware returns the controller itself: circuit, data sheets and enclosures, each with the file and line that it came from. An
// installation's own leads replace those that the leaflet asks for; "" is no installation.
func Hardware(p *product.Product, installation string) hardware.Design {
	d := hardware.Design{
		Method: p.Regulation.Method.Text, Switch: p.Regulation.Switch.Text,
		Frequency: Value(p.Regulation.Frequency), NominalVoltage: Value(p.NominalVoltage),
		StandbyDay: Value(p.Standby.ByDay), StandbyNight: Value(p.Standby.ByNight),
		BatteryLead: hardwareLead(p.Sense.Lead),
		From:        "product.toml",
	}
	if i := p.Installations.Get(installation); i != nil {
		for _, l := range []struct {
			lead product.Lead
			to   **hardware.Lead
		}{{i.Lead.Battery, &d.BatteryLead}, {i.Lead.Panel, &d.PanelLead}} {
			if own := hardwareLead(l.lead); own != nil {
				*l.to = own
			}
		}
	}
	for name, c := range p.Circuit.All() {
		d.Components = append(d.Components, component(p, name, c))
	}
	for name, e := range p.Enclosures.All() {
		d.Enclosures = append(d.Enclosures, enclosure(name, e))
	}
	return d
}

func hardwareLead(l product.Lead) *hardware.Lead {
	if !l.Set() {
		return nil
	}
	return &hardware.Lead{Length: Value(l.Length), Area: Value(l.Area), Contacts: Value(l.Contacts), From: from(l.Leaf)}
}

func component(p *product.Product, name string, c *product.Component) hardware.Component {
	out := hardware.Component{
		Name: name, Part: c.Part.Text, Role: c.Role.Text, In: c.In.Text, At: from(c.Leaf),
		From: c.From.Text, To: c.To.Text, Gate: c.Gate.Text,
		Length: Value(c.Length), Area: Value(c.Area),
	}
	part := p.Parts.Get(c.Part.Text)
	if part == nil {
		return out
	}
	out.Kind = part.Kind.Text
	if out.Kind == "mosfet" {
		out.From, out.To = c.Drain.Text, c.Source.Text
	}
	datasheet(&out, part)
	return out
}

// datasheet fills the pointer of the part's kind.
func datasheet(c *hardware.Component, p *product.Part) {
	switch {
	case p.Resistor != nil:
		c.Resistor = &hardware.Resistor{
			Resistance: Value(p.Resistor.Resistance), Power: Value(p.Resistor.Power), ThermalResistance: Value(p.Resistor.ThermalResistance),
		}
	case p.Wire != nil:
		c.Wire = &hardware.Wire{
			Area: Value(p.Wire.Area), Length: Value(p.Wire.Length), Class: p.Wire.Class.N,
			Insulation: p.Wire.Insulation.Text, Inductance: Value(p.Wire.Inductance),
		}
	case p.Track != nil:
		c.Track = &hardware.Track{
			Width: Value(p.Track.Width), Length: Value(p.Track.Length), Copper: Value(p.Track.Copper), Layer: p.Track.Layer.Text,
		}
	case p.Contact != nil:
		c.Contact = &hardware.Contact{
			Resistance: Value(p.Contact.Resistance), Current: Value(p.Contact.Current), MaxTemperature: Value(p.Contact.MaxTemperature),
		}
	case p.Diode != nil:
		c.Diode = diode(p.Diode)
	case p.Mosfet != nil:
		c.Mosfet = mosfet(p.Mosfet)
	case p.Fuse != nil:
		c.Fuse = fuse(p.Fuse)
	case p.Clamp != nil:
		c.Clamp = &hardware.Clamp{
			Standoff: Value(p.Clamp.Standoff), Breakdown: Value(p.Clamp.Breakdown), Clamping: Value(p.Clamp.Clamping),
			ClampingCurrent: Value(p.Clamp.ClampingCurrent), Power: Value(p.Clamp.Power), Energy: Value(p.Clamp.Energy),
		}
	case p.Capacitor != nil:
		c.Capacitor = &hardware.Capacitor{
			Capacitance: Value(p.Capacitor.Capacitance), Voltage: Value(p.Capacitor.Voltage), Series: Value(p.Capacitor.Series),
			RippleCurrent: Value(p.Capacitor.RippleCurrent), MaxTemperature: Value(p.Capacitor.MaxTemperature), Life: Value(p.Capacitor.Life),
		}
	default:
		control(c, p)
	}
}

// control fills the pointer of the parts that judge, supply and show.
func control(c *hardware.Component, p *product.Part) {
	switch {
	case p.Thermistor != nil:
		c.Thermistor = &hardware.Thermistor{Resistance: Value(p.Thermistor.Resistance), Beta: Value(p.Thermistor.Beta)}
	case p.Reference != nil:
		c.Reference = &hardware.Reference{Voltage: Value(p.Reference.Voltage)}
	case p.Regulator != nil:
		c.Regulator = &hardware.Regulator{
			Output: Value(p.Regulator.Output), InputMax: Value(p.Regulator.InputMax), Quiescent: Value(p.Regulator.Quiescent),
			JunctionToAmbient: Value(p.Regulator.JunctionToAmbient), MaxJunction: Value(p.Regulator.MaxJunction),
		}
	case p.Control != nil:
		c.Control = &hardware.Control{
			Supply: Value(p.Control.Supply), Current: Value(p.Control.Current),
			SleepCurrent: Value(p.Control.SleepCurrent), InputMax: Value(p.Control.InputMax),
		}
	case p.Lamp != nil:
		c.Lamp = &hardware.Lamp{Current: Value(p.Lamp.Current), Drop: Value(p.Lamp.Drop)}
	}
}

func diode(p *product.Diode) *hardware.Diode {
	out := &hardware.Diode{
		DropsFrom: from(p.Drops.Leaf), Tempco: Value(p.Tempco), Series: Value(p.Series),
		Leakage: Value(p.Leakage), LeakageVoltage: Value(p.LeakageVoltage), LeakageExponent: Value(p.LeakageExponent),
		ReverseVoltage: Value(p.ReverseVoltage), Current: Value(p.Current), SurgeCurrent: Value(p.SurgeCurrent),
		JunctionToCase: Value(p.JunctionToCase), JunctionToAmbient: Value(p.JunctionToAmbient), MaxJunction: Value(p.MaxJunction),
	}
	for _, drop := range p.Drops.Items {
		out.Drops = append(out.Drops, hardware.Drop{
			Current: drop.Current.Value, Voltage: drop.Voltage.Value, Temperature: drop.Temperature.Value,
		})
	}
	return out
}

func mosfet(p *product.Mosfet) *hardware.Mosfet {
	out := &hardware.Mosfet{
		Channel: p.Channel.Text, OnResistance: Value(p.OnResistance), OnResistanceDrive: Value(p.OnResistanceDrive),
		OnResistanceTempco: Value(p.OnResistanceTempco), Drive: Value(p.Drive), Threshold: Value(p.Threshold),
		DrainVoltage: Value(p.DrainVoltage), GateVoltage: Value(p.GateVoltage), Current: Value(p.Current),
		GateCharge: Value(p.GateCharge), GateDrainCharge: Value(p.GateDrainCharge), GateResistance: Value(p.GateResistance),
		Plateau: Value(p.Plateau), BodyDrop: Value(p.BodyDrop), Leakage: Value(p.Leakage), AvalancheEnergy: Value(p.AvalancheEnergy),
		JunctionToCase: Value(p.JunctionToCase), JunctionToAmbient: Value(p.JunctionToAmbient), MaxJunction: Value(p.MaxJunction),
	}
	for _, stage := range p.Stages.Items {
		out.Stages = append(out.Stages, hardware.Stage{Resistance: stage.Resistance.Value, Time: stage.Time.Value})
	}
	return out
}

func fuse(p *product.Fuse) *hardware.Fuse {
	out := &hardware.Fuse{
		Rating: Value(p.Rating), Resistance: Value(p.Resistance), MeltingIntegral: Value(p.MeltingIntegral),
		Voltage: Value(p.Voltage), BreakingCapacity: Value(p.BreakingCapacity),
		ContinuousShare: Value(p.ContinuousShare), Derating: Value(p.Derating),
	}
	for _, point := range p.Points.Items {
		out.Points = append(out.Points, hardware.Melting{Current: point.Current.Value, Time: point.Time.Value})
	}
	return out
}

func enclosure(name string, e *product.Enclosure) hardware.Enclosure {
	out := hardware.Enclosure{
		Name: name, Shape: e.Shape.Text, Size: lengths(e.Size), Filling: e.Filling.Text,
		FillingConductivity: Value(e.FillingConductivity), Material: e.Wall.Material,
		Emissivity: Value(e.Emissivity), Absorptance: Value(e.Absorptance),
		Mounted: e.Mounted.Text, Position: e.Position.Text, Inside: e.Inside.Text,
		Board: lengths(e.Board), Copper: Value(e.Copper), From: from(e.Leaf),
	}
	if e.Wall.Set() {
		out.Wall = &hardware.Value{Quantity: e.Wall.Thickness, From: from(e.Wall.Leaf)}
	}
	return out
}

func lengths(s product.Size) []hardware.Value {
	out := make([]hardware.Value, 0, len(s.Lengths))
	for _, l := range s.Lengths {
		out = append(out, quantity.Written{Quantity: l, From: from(s.Leaf)})
	}
	return out
}
