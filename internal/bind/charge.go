package bind

import (
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/charge"
)

// Charge returns the input of the charge study for an installation of the product; one that there is not lacks everything.
func Charge(p *product.Product, installation string) (charge.Input, error) {
	in := charge.Input{Label: Value(p.Current), Regulation: chargeRegulation(p)}
	i := p.Installations.Get(installation)
	if i == nil {
		return in, nil
	}
	in.Installation, in.Place = installation, i.Place.Text
	in.Latitude, in.Longitude, in.Elevation = Value(i.Latitude), Value(i.Longitude), Value(i.Elevation)
	in.Sun, in.Air, in.Swing = values(i.Sun), values(i.Air), Value(i.Swing)
	in.Design = Hardware(p, installation).Steady()
	var err error
	if in.Panel, err = chargePanel(p, &i.Panel); err != nil {
		return in, err
	}
	in.Battery = chargeBattery(p, &i.Battery)
	for name, l := range i.Loads.All() {
		in.Loads = append(in.Loads, charge.Load{Name: name, Current: Value(l.Current), Power: Value(l.Power),
			From: l.From.AfterMidnight.Seconds(), Until: l.Until.AfterMidnight.Seconds(), Share: Value(l.Share), At: from(l.Leaf)})
	}
	return in, chargeWeather(p, i, &in)
}

func values(list product.List[product.Quantity]) (out []charge.Value) {
	for _, q := range list.Items {
		out = append(out, charge.Value{Quantity: q.Quantity, From: from(q.Leaf)})
	}
	return out
}

func chargeRegulation(p *product.Product) charge.Regulation {
	r := &p.Regulation
	out := charge.Regulation{
		Method: r.Method.Text, Absorption: level(r.Absorption), Float: level(r.Float), Equalise: level(r.Equalise), Hysteresis: Value(r.Hysteresis),
		Compensation: Value(r.TemperatureCompensation), CompensationLimits: Value(r.CompensationLimits),
		LoadDisconnect: Value(r.LoadDisconnect), LoadReconnect: Value(r.LoadReconnect), LoadDelay: Value(r.LoadDelay),
		StandbyDay: Value(p.Standby.ByDay), StandbyNight: Value(p.Standby.ByNight),
		StopBelow: Value(r.ChargeStopBelow), StopAbove: Value(r.ChargeStopAbove),
	}
	out.AbsorptionTime, out.EqualiseTime = heldFor(r.Absorption), heldFor(r.Equalise)
	return out
}

// heldFor is how long a level is held; nil if that is not said.
func heldFor(l product.Level) *charge.Value {
	if t := l.Time; l.Set() && t.Dim == quantity.Time && t.Value > 0 {
		return &charge.Value{Quantity: t, From: from(l.Leaf)}
	}
	return nil
}

func chargePanel(p *product.Product, use *product.PanelUse) (charge.Panel, error) {
	out := charge.Panel{
		Series: use.InSeries.N, Parallel: use.InParallel.N, Tilt: Value(use.Tilt), Azimuth: Value(use.Azimuth), Ground: Value(use.Ground),
		Soiling: Value(use.Soiling), Age: Value(use.Age), From: from(use.Leaf),
	}
	s, where, err := panelUse(p, use)
	if s == nil || err != nil {
		return out, err
	}
	out.Part, out.From, out.Cells, out.Amorphous = use.Part.Text, where, s.Cells.N, s.Technology.Is("amorphous")
	if !use.Run.Set() {
		out.Key = "part." + out.Part
	} else if out.Part == "" {
		out.Part = use.Run.Text
	}
	out.ShortCircuit, out.OpenCircuit = Value(s.ShortCircuitCurrent), Value(s.OpenCircuitVoltage)
	out.PeakCurrent, out.PeakVoltage, out.PeakPower = Value(s.PeakCurrent), Value(s.PeakVoltage), Value(s.PeakPower)
	out.CurrentTempco, out.VoltageTempco = Value(s.CurrentTempco), Value(s.VoltageTempco)
	out.NOCT, out.DarkShunt = Value(s.NOCT), Value(s.DarkShunt)
	return out, nil
}

func chargeBattery(p *product.Product, use *product.BatteryUse) charge.Battery {
	out := charge.Battery{Series: use.InSeries.N, Parallel: use.InParallel.N, Age: Value(use.Age), Rise: Value(use.Rise), From: from(use.Leaf)}
	part := p.Parts.Get(use.Part.Text)
	if part == nil || part.Battery == nil {
		return out
	}
	s := part.Battery
	out.Part, out.From, out.Chemistry = use.Part.Text, from(part.Leaf), s.Chemistry.Text
	out.Capacity, out.Resistance, out.SelfDischarge = Value(s.Capacity), Value(s.Resistance), Value(s.SelfDischarge)
	out.Recombination, out.Gassing, out.LifeCycles = Value(s.Recombination), Value(s.Gassing), Value(s.LifeCycles)
	out.ProtectionHigh, out.ProtectionLow = Value(s.ProtectionHigh), Value(s.ProtectionLow)
	out.Hours, out.Cells = s.Hours.N, s.Cells.N
	return out
}
