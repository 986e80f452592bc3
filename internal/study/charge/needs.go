package charge

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/page"
	"hindwatt/internal/physics/battery"
	"hindwatt/internal/physics/sun/weather"
)

// wanted are the quantities that are asked for and that this battery and its loads have; which they do not have is no lack.
func (in *Input) wanted() ([]aim, error) {
	var list []aim
	for _, name := range in.Quantities {
		i := slices.IndexFunc(aims, func(a aim) bool { return a.name == name })
		if i < 0 {
			return nil, fmt.Errorf("charge: no quantity is called %q; want one of: %s", name, strings.Join(Quantities(), ", "))
		}
		list = append(list, aims[i])
	}
	if len(list) == 0 {
		list = aims
	}
	return list, nil
}

// fits reports whether a quantity exists for this battery.
func (a aim) fits(c battery.Chemistry) bool {
	switch a.sealed {
	case 1:
		return c.Lead() && c.Sealed()
	case -1:
		return c.Lead() && !c.Sealed()
	case 2:
		return c == battery.LiFePO4
	case 3:
		return c.Lead()
	}
	return true
}

// missing lists what the study lacks to compute anything.
func (in *Input) missing() (list []page.Lack) {
	file := "installations/" + in.Installation + ".toml"
	need := func(has bool, file, key, why string) {
		if !has {
			list = append(list, page.Lack{File: file, Key: key, Why: why})
		}
	}
	if in.Installation == "" {
		return []page.Lack{{File: "installations/NAME.toml", Key: "latitude, longitude, sun, air, panel, battery, load", Why: "where the product is used, and with what"}}
	}
	if in.Weather == nil {
		need(in.Latitude != nil, file, "latitude", "where the sun stands")
		need(in.Longitude != nil, file, "longitude", "where the sun stands")
		need(in.WeatherFrom != "" || len(in.Sun) > 0, file, "sun", "what falls on the level in each month; or weather, a file of hours")
		need(in.WeatherFrom != "" || len(in.Air) > 0, file, "air", "the air temperature of each month")
	}
	need(in.Panel.Part != "", file, "panel.part", "what charges the battery")
	if in.Panel.Part != "" {
		at := "part." + in.Panel.Part + "."
		need(in.Panel.ShortCircuit != nil, "parts.toml", at+"short_circuit_current", "the panel's curve")
		need(in.Panel.OpenCircuit != nil, "parts.toml", at+"open_circuit_voltage", "the panel's curve")
		need(in.Panel.PeakCurrent != nil, "parts.toml", at+"peak_current", "the panel's curve")
		need(in.Panel.PeakVoltage != nil, "parts.toml", at+"peak_voltage", "the panel's curve")
	}
	need(in.Panel.Tilt != nil, file, "panel.tilt", "how the panel stands")
	need(in.Panel.Azimuth != nil, file, "panel.azimuth", "where the panel faces, from north over east")
	need(in.Battery.Part != "", file, "battery.part", "what is charged")
	if in.Battery.Part != "" {
		at := "part." + in.Battery.Part + "."
		need(in.Battery.Chemistry != "", "parts.toml", at+"chemistry", "how the battery takes its charge")
		need(in.Battery.Capacity != nil, "parts.toml", at+"capacity", "how much it holds")
	}
	if in.Regulation.Method != "none" {
		need(in.Regulation.Absorption != nil, "product.toml", "regulation.absorption", "where charging is held back")
		need(len(in.Design.Components) > 0, "product.toml", "circuit", "what is lost between panel and battery; docs/folder.md has ready circuits to copy")
	}
	for _, l := range in.Design.Lacks() {
		if l.Fatal && len(in.Design.Components) > 0 {
			list = append(list, page.Lack{File: l.File, Key: l.Key, Why: l.Why})
		}
	}
	return list
}

// loadLack is what a quantity of the loads lacks.
func (in *Input) loadLack() page.Lack {
	return page.Lack{File: "installations/" + in.Installation + ".toml", Key: "load.NAME", Why: "what the battery is to feed"}
}

// fault says where on the panel's label an error is that begins with the key of a value.
func (p *Panel) fault(err error) error {
	at := p.From
	name, _, _ := strings.Cut(err.Error(), ":")
	for k, v := range map[string]*Value{"short_circuit_current": p.ShortCircuit, "open_circuit_voltage": p.OpenCircuit, "peak_current": p.PeakCurrent,
		"peak_voltage": p.PeakVoltage, "dark_shunt": p.DarkShunt, "current_tempco": p.CurrentTempco, "voltage_tempco": p.VoltageTempco} {
		if k == name {
			at = from(v, at)
		}
	}
	return fmt.Errorf("%s: %s%w", at, p.key(""), err)
}

// key is that of a value of the label; a panel that was fitted to a run has no keys.
func (p *Panel) key(name string) string {
	if p.Key == "" {
		return "panel " + p.Part + ": " + name
	}
	return p.Key + "." + name
}

// monthly says where each fault of the monthly means is.
func (in *Input) monthly(err error) error {
	var faults weather.MonthFaults
	if !errors.As(err, &faults) {
		return fmt.Errorf("%s: %w", in.file(), err)
	}
	var all []error
	swung := false
	for _, f := range faults {
		switch f.Of {
		case "sun":
			all = append(all, fmt.Errorf("%s: sun[%d]: %w", from(&in.Sun[f.Month], in.file()), f.Month+1, &f))
		case "air":
			all = append(all, fmt.Errorf("%s: air[%d]: %w", from(&in.Air[f.Month], in.file()), f.Month+1, &f))
		default: // one swing for all months
			if !swung {
				all = append(all, fmt.Errorf("%s: %s: %s", from(in.Swing, in.file()), f.Of, f.Text))
			}
			swung = true
		}
	}
	return errors.Join(all...)
}

// check refuses what no year can be made of.
func (in *Input) check() error {
	fault := func(v *Value, name, is, want string) error {
		from := "installations/" + in.Installation + ".toml"
		if v != nil && v.From != "" {
			from = v.From
		}
		return fmt.Errorf("%s: %s: %s; %s", from, name, is, want)
	}
	for _, v := range []struct {
		name      string
		v         *Value
		low, high float64
		want      string
	}{
		{"latitude", in.Latitude, -1.5707963267948968, 1.5707963267948968, "want -90° to 90°"},
		{"longitude", in.Longitude, -3.1415926535897936, 3.1415926535897936, "want -180° to 180°"},
		{"part." + in.Battery.Part + ".capacity", in.Battery.Capacity, 1, 1e12, "want more than 0"},
		{in.Panel.key("short_circuit_current"), in.Panel.ShortCircuit, 1e-6, 1e5, "want more than 0"},
		{in.Panel.key("open_circuit_voltage"), in.Panel.OpenCircuit, 1e-3, 1e4, "want more than 0"},
		{"regulation.absorption", in.Regulation.Absorption, 1e-3, 1e4, "want more than 0"},
	} {
		if v.v != nil && !(v.v.Quantity.Value >= v.low && v.v.Quantity.Value <= v.high) {
			return fault(v.v, v.name, v.v.Quantity.String()+" is out of range", v.want)
		}
	}
	if off, on := in.Regulation.LoadDisconnect, in.Regulation.LoadReconnect; off != nil && on != nil && !(on.Quantity.Value > off.Quantity.Value) {
		return fault(on, "regulation.load_reconnect", fmt.Sprintf("%s is not above load_disconnect, %s", on.Quantity, off.Quantity), "want it above, so that the load is not switched on and off without end")
	}
	for what, list := range map[string][]Value{"sun": in.Sun, "air": in.Air} {
		if n := len(list); in.Weather == nil && n > 0 && n != 12 {
			return fault(&list[0], what, fmt.Sprintf("%d months", n), "want 12, January to December")
		}
	}
	if in.MeanYear && in.Weather != nil {
		return fmt.Errorf("%s: weather: --mean-year lets years meet the monthly means, and here they have the hours of %s; leave --mean-year out, or weather with sun and air in its place", in.file(), in.WeatherFrom)
	}
	if in.Years < 0 || in.Years > 10000 {
		return fmt.Errorf("charge: %d years; want 1 to 10000", in.Years)
	}
	return nil
}
