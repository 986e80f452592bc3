package charge

import (
	"fmt"
	"math"

	"hindwatt/internal/hardware"
	"hindwatt/internal/page"
	"hindwatt/internal/physics/battery"
	"hindwatt/internal/physics/panel"
	"hindwatt/internal/physics/sun"
	"hindwatt/internal/physics/sun/weather"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/charge/year"
)

const (
	days    = weather.Days
	minutes = weather.PerDay
)

// A model is an installation made ready to go through years. It may be used by several goroutines.
type model struct {
	in      *Input
	weather weather.Source
	plane   sun.Plane
	first   int // day of the year on which a year begins

	fit   panel.Fit
	panel panel.Panel // all of it
	noct  float64     // K
	cell  battery.Cell
	whole *battery.Battery // nominal
	count int              // cells in series
	rated float64          // C, of all strings
	ohms  float64          // Ω, of the battery in its data sheet
	rise  float64          // K

	batteryLags, cellLags float64 // shares of a difference in temperature that a minute leaves

	melts       []melts    // by rising temperature
	path, wires *year.Path // through the controller; with nothing between but the leads
	leak        leak       // of the controller at night
	day, night  *Value     // standby, stated
	sum, asleep float64    // A, standby that the parts add up to
	current     [minutes]float64
	power       [minutes]float64
	asked, peak float64 // A, mean and most of the loads at the battery's rest voltage
	months      [12]weather.Month

	stopBelow, stopAbove float64 // K
	warnings             []page.Note
}

// A leak is what flows back into the controller at night, straight over the battery's voltage.
type leak = year.Leak

func (m *model) warn(text, remedy, from string) {
	for _, w := range m.warnings {
		if w.Text == text {
			return
		}
	}
	m.warnings = append(m.warnings, page.Note{Text: text, Remedy: remedy, From: from})
}

// newModel prepares everything that years and units share.
func newModel(in *Input) (*model, error) {
	m := &model{in: in, stopBelow: math.Inf(-1), stopAbove: math.Inf(1)}
	for _, step := range []func() error{m.place, m.source, m.store, m.loads, m.hardware} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	if v := in.Regulation.StopBelow; v != nil {
		m.stopBelow = v.Quantity.Value
	}
	if v := in.Regulation.StopAbove; v != nil {
		m.stopAbove = v.Quantity.Value
	}
	return m, nil
}

// place prepares the weather and the plane of the panel.
func (m *model) place() error {
	in := m.in
	site := weather.Site{Place: sun.Place{Latitude: value(in.Latitude, 0), Longitude: value(in.Longitude, 0), Elevation: value(in.Elevation, 0)}}
	site.Zone = weather.SolarZone(site.Longitude)
	m.plane = sun.Plane{Tilt: value(in.Panel.Tilt, 0), Azimuth: value(in.Panel.Azimuth, 0), Ground: value(in.Panel.Ground, 0.2), Glass: 0.05}
	if err := m.plane.Check(); err != nil {
		return fmt.Errorf("%s: panel: %w", from(in.Panel.Tilt, in.file()), err)
	}
	var months [12]weather.Month
	if in.Weather != nil {
		m.weather, months = in.Weather, in.Weather.Months()
		for _, n := range in.Weather.Notes {
			m.warn(n, "", in.WeatherFrom)
		}
	} else {
		for i := range months {
			months[i] = weather.Month{Global: in.Sun[i].Quantity.Value, Air: in.Air[i].Quantity.Value, Swing: value(in.Swing, 0)}
		}
		c, err := weather.NewClimate(site, months)
		if err != nil {
			return in.monthly(err)
		}
		c.Exact = in.MeanYear
		for _, n := range c.Notes {
			m.warn(n, "", in.file())
		}
		m.weather = c
	}
	m.months = months
	sunniest := 0
	for i := range months {
		if months[i].Global > months[sunniest].Global {
			sunniest = i
		}
	}
	for weather.MonthOf(m.first) != sunniest {
		m.first++
	}
	m.first = (m.first + 15) % days
	return nil
}

// from says where a value is written; otherwise where that is not known.
func from(v *Value, otherwise string) string {
	if v == nil || v.From == "" {
		return otherwise
	}
	return v.From
}

func (in *Input) file() string { return "installations/" + in.Installation + ".toml" }

// source makes the panel from its label.
func (m *model) source() error {
	p := &m.in.Panel
	label := panel.Label{
		ShortCircuit: p.ShortCircuit.Quantity.Value, OpenCircuit: p.OpenCircuit.Quantity.Value,
		PeakCurrent: p.PeakCurrent.Quantity.Value, PeakVoltage: p.PeakVoltage.Quantity.Value, PeakPower: value(p.PeakPower, 0),
		Cells: p.Cells, DarkShunt: value(p.DarkShunt, 0), Amorphous: p.Amorphous,
	}
	if p.Amorphous {
		m.warn("The panel is of amorphous silicon: the year is that of a settled one, as its label says; a new one gives more, and loses 15 % to 30 % of it within a summer (estimate).",
			"measure a new one again after its first summer", p.From)
	}
	for to, v := range map[**float64]*Value{&label.CurrentTempco: p.CurrentTempco, &label.VoltageTempco: p.VoltageTempco} {
		if v != nil {
			x := v.Quantity.Value
			*to = &x
		}
	}
	var err error
	if m.fit, err = label.Fit(); err != nil {
		return p.fault(err)
	}
	for _, n := range m.fit.Notes {
		m.warn(n, "", p.From)
	}
	m.panel = m.fit.Panel
	series, parallel := max(1, p.Series), max(1, p.Parallel)
	m.panel.Reference = m.panel.Reference.Array(series, parallel)
	m.panel.Cells *= series
	m.panel.Tempco *= float64(parallel)
	m.panel.DarkShunt *= float64(series) / float64(parallel)
	m.panel.Faded = panel.Fading(value(p.Age, 0)/aYear, 0)
	m.noct = value(p.NOCT, panel.UsualNOCT)
	return nil
}

// store makes the battery from its data sheet.
func (m *model) store() error {
	b := &m.in.Battery
	chemistry, ok := battery.ChemistryOf(b.Chemistry)
	if !ok {
		return fmt.Errorf("%s: part.%s.chemistry: no chemistry is called %q; want flooded, agm, gel or lithium-iron-phosphate", b.From, b.Part, b.Chemistry)
	}
	hours := b.Hours
	if hours == 0 {
		hours = 20
	}
	m.cell = battery.Defaults(chemistry, float64(hours)*3600)
	each := b.Cells
	if each == 0 {
		each = map[bool]int{true: 6, false: 4}[chemistry.Lead()]
	}
	series, parallel := max(1, b.Series), max(1, b.Parallel)
	m.count = each * series
	m.rated = b.Capacity.Quantity.Value * float64(parallel)
	m.ohms = value(b.Resistance, 0) * float64(series) / float64(parallel)
	if v := b.Gassing; v != nil && chemistry.Lead() {
		m.cell.Gas = v.Quantity.Value / (100 * ah)
	}
	if v := b.Recombination; v != nil && chemistry.Lead() {
		m.cell.Recombination = v.Quantity.Value
	}
	if v := b.SelfDischarge; v != nil {
		m.cell.SelfDischarge = v.Quantity.Value
	}
	if v := b.LifeCycles; v != nil {
		m.cell.Cycles = v.Quantity.Value
	}
	if v := b.ProtectionHigh; v != nil {
		m.cell.High = v.Quantity.Value / float64(each)
	}
	if v := b.ProtectionLow; v != nil {
		m.cell.Low = v.Quantity.Value / float64(each)
	}
	m.rise = value(b.Rise, 0)
	one, err := m.battery(m.in.nominal())
	if err != nil {
		return fmt.Errorf("%s: part.%s: %w", b.From, b.Part, err)
	}
	m.whole = one
	rest, _ := one.Open(0, battery.Warm)
	m.batteryLags, m.cellLags = battery.Lagging(year.Step, battery.TimeConstant(m.rated, rest)), panel.Lagging(year.Step, panel.Minutes)
	if voc := m.panel.At(panel.ReferenceIrradiance, panel.ReferenceTemperature).OpenCircuit(); voc < rest {
		return m.in.Panel.fault(fmt.Errorf("open_circuit_voltage: %.1f V of all in series is below the %.1f V of the full battery, so it never charges; want more cells, or panels in series", voc, rest))
	}
	return nil
}

// battery makes that of one unit, aged.
func (m *model) battery(u unit) (*battery.Battery, error) {
	k := m.cell
	k.Gas *= u.gassing
	k.Charging *= u.resistance
	b, err := battery.New(k, m.count, m.rated*u.capacity)
	if err != nil {
		return nil, err
	}
	return b.Aged(value(m.in.Battery.Age, 0)), nil
}

// lithiumRest is the voltage of a lithium iron phosphate cell at rest, V: the flat middle of its curve.
const lithiumRest = 3.3

// rest is the battery's voltage at rest, V.
func (m *model) rest() float64 {
	if len(m.cell.Curve) > 0 {
		return float64(m.count) * lithiumRest
	}
	return float64(m.count) * m.cell.Full
}

// shorted is the current in A for each Ah that a battery gives into a short, at most: common practice, 10 to 50 for lead.
const shorted = 50

// loads lays the loads over the minutes of a day.
func (m *model) loads() error {
	rest := m.rest()
	var peak [minutes]float64 // of all that may be on together
	for _, l := range m.in.Loads {
		if i := value(l.Current, 0) + value(l.Power, 0)/rest; i > shorted*m.rated/3600 {
			return fmt.Errorf("%s: load.%s: draws %s, more than a battery of %s gives into a short; want at most %s, %d times its capacity in an hour", l.At, l.Name, amperes(i),
				quantity.Format(m.rated, quantity.Charge, "Ah", -2), amperes(shorted*m.rated/3600), shorted)
		}
		part := value(l.Share, 1)
		if l.Current == nil && l.Power == nil {
			m.warn(fmt.Sprintf("load.%s draws nothing: neither a current nor a power is given.", l.Name), "write its current or its power", l.At)
		}
		for i := range m.current {
			t := (float64(i) + 0.5) * 60
			on := l.From == l.Until || l.From < l.Until && t >= l.From && t < l.Until || l.From > l.Until && (t >= l.From || t < l.Until)
			if !on {
				continue
			}
			m.current[i] += value(l.Current, 0) * part
			m.power[i] += value(l.Power, 0) * part
			peak[i] += value(l.Current, 0) + value(l.Power, 0)/rest
		}
	}
	for _, p := range peak {
		m.peak = max(m.peak, p)
	}
	for i := range m.current {
		m.asked += (m.current[i] + m.power[i]/rest) / minutes
	}
	return nil
}

// outside is what the controller sees.
func (m *model) outside(air, current, volts float64) hardware.Outside {
	return hardware.Outside{
		Ambient: air, Altitude: max(-500, min(11000, value(m.in.Elevation, 0))),
		Panel:   hardware.Panel{Current: current, Open: m.panel.At(panel.ReferenceIrradiance, panel.ReferenceTemperature).OpenCircuit()},
		Battery: hardware.Battery{EMF: volts},
	}
}
