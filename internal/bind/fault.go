package bind

import (
	"strings"

	"hindwatt/internal/hardware"
	"hindwatt/internal/money"
	"hindwatt/internal/product"
	"hindwatt/internal/study/fault"
)

// Fault returns the input of the fault study. Panel, battery and leads are those of an installation; without one the study takes what
// the label speaks of.
func Fault(p *product.Product, installation string) fault.Input {
	in := fault.Input{
		Design:     Hardware(p, installation),
		Label:      Value(p.Current),
		Absorption: level(p.Regulation.Absorption),
		Disconnect: Value(p.Regulation.LoadDisconnect),
		Load:       Value(p.Regulation.LoadCurrent),
		LoadMax:    Value(p.Regulation.LoadVoltageMax),
		Automatic:  p.Regulation.AutomaticVoltage.On,
		ReverseOff: Value(p.Regulation.ReverseOff),
		Prices:     prices(p),
		Returned:   returned(p),
	}
	in.Battery.Resistance = Value(p.Sense.BatteryResistance)
	if in.Battery.Cells = p.Cells.N; len(p.Chemistry.Items) == 1 {
		in.Battery.Chemistry = p.Chemistry.Items[0].Text
	}
	for name, part := range p.Parts.All() {
		if part.Mosfet == nil && part.Diode == nil && part.Fuse == nil && part.Clamp == nil {
			continue
		}
		c := hardware.Component{Part: name, Kind: part.Kind.Text, At: from(part.Leaf)}
		datasheet(&c, part)
		in.Others = append(in.Others, c)
	}
	if i := p.Installations.Get(installation); i != nil {
		faultSystem(p, i, &in)
	}
	return in
}

// faultSystem takes panel and battery from an installation.
func faultSystem(p *product.Product, i *product.Installation, in *fault.Input) {
	use := i.Panel
	in.Lowest = Value(i.Lowest)
	instead := ""
	panel, where, err := panelUse(p, &use)
	if err != nil {
		instead = strings.Join(strings.Fields(err.Error()), " ")
		use.Run = product.Name{}
		panel, where, _ = panelUse(p, &use)
	}
	in.Panel.Instead = instead
	if panel != nil {
		in.Panel = fault.Panel{
			ShortCircuit: Value(panel.ShortCircuitCurrent), OpenCircuit: Value(panel.OpenCircuitVoltage), PeakCurrent: Value(panel.PeakCurrent), PeakVoltage: Value(panel.PeakVoltage),
			VoltageTempco: Value(panel.VoltageTempco), Cells: panel.Cells.N, Series: i.Panel.InSeries.N, Parallel: i.Panel.InParallel.N,
			NoBypass: panel.Bypass.Set() && !panel.Bypass.On, From: where, Instead: instead,
		}
	}
	part := p.Parts.Get(i.Battery.Part.Text)
	if part == nil || part.Battery == nil {
		return
	}
	s, series, parallel := part.Battery, max(1, i.Battery.InSeries.N), max(1, i.Battery.InParallel.N)
	in.Battery = fault.Battery{Chemistry: s.Chemistry.Text, Cells: s.Cells.N * series, From: from(part.Leaf)}
	in.Battery.Capacity = times(Value(s.Capacity), float64(parallel))
	in.Battery.Resistance = times(Value(s.Resistance), float64(series)/float64(parallel))
	in.Battery.ProtectionHigh, in.Battery.ProtectionLow = times(Value(s.ProtectionHigh), float64(series)), times(Value(s.ProtectionLow), float64(series))
}

// times is a value of several alike, its spread as wide in proportion.
func times(v *hardware.Value, n float64) *hardware.Value {
	if v == nil || n == 1 {
		return v
	}
	out := *v
	q := &out.Quantity
	q.Value, q.Low, q.High, q.SD = q.Value*n, q.Low*n, q.High*n, q.SD*n
	return &out
}

// prices are those of the parts that are bought, a single one of each.
func prices(p *product.Product) (out []fault.Price) {
	for _, l := range p.Production.BOM.All() {
		if !l.Part.Set() || len(l.Prices.Breaks) == 0 {
			continue
		}
		each, err := money.New(l.Prices.Breaks[0].Price.Value, l.Prices.Breaks[0].Price.Currency)
		if err != nil {
			continue
		}
		out = append(out, fault.Price{Part: l.Part.Text, Each: each, From: from(l.Prices.Leaf)})
	}
	return out
}
