package caution

import (
	"fmt"
	"math"

	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
)

// system is one installation with its parts.
type system struct {
	name string
	*product.Installation
	panel   *product.Panel
	battery *product.Battery
}

// systems goes through the installations; a part that is not known is nil.
func (r *report) systems(look func(s system)) {
	for name, i := range r.Installations.All() {
		s := system{name: name, Installation: i}
		if part := r.Parts.Get(i.Panel.Part.Text); part != nil {
			s.panel = part.Panel
		}
		if part := r.Parts.Get(i.Battery.Part.Text); part != nil {
			s.battery = part.Battery
		}
		look(s)
	}
}

// many returns a count of parts in series or in parallel, 1 if it is not said.
func many(c product.Count) float64 {
	if c.Set() {
		return float64(c.N)
	}
	return 1
}

// shortCircuit returns the panels' current, A; 0 if it is not known.
func (s system) shortCircuit() float64 {
	if s.panel == nil {
		return 0
	}
	return s.panel.ShortCircuitCurrent.Value * many(s.Panel.InParallel)
}

// openCold returns the panels' open-circuit voltage on the coldest mornings, V.
func (s system) openCold() (volts, temperature float64, ok bool) {
	temperature, known := coldest(s.Installation)
	if s.panel == nil || !s.panel.OpenCircuitVoltage.Set() || !known {
		return 0, 0, false
	}
	one := s.panel.OpenCircuitVoltage.Value + s.panel.VoltageTempco.Value*(temperature-reference)
	return one * many(s.Panel.InSeries), temperature, true
}

// capacity returns the battery's, A·s; 0 if it is not known.
func (s system) capacity() float64 {
	if s.battery == nil {
		return 0
	}
	return s.battery.Capacity.Value * many(s.Battery.InParallel)
}

func panelVoltage(r *report) {
	r.systems(func(s system) {
		blocks := r.NominalVoltage.Value / 12
		if s.panel == nil || !s.panel.PeakVoltage.Set() || blocks == 0 {
			return
		}
		v := s.panel.PeakVoltage.Value * many(s.Panel.InSeries)
		low, high := 16.5*blocks, 20*blocks
		switch {
		case below(v, low):
			r.say(fmt.Sprintf("%s: the panels' peak voltage is %s, less than %s: in the heat they cannot fill the battery", s.name, volts(v), volts(low)), "use panels of 36 cells for each 12 V", s.panel.PeakVoltage.Leaf, s.Panel.InSeries.Leaf)
		case above(v, high):
			r.say(fmt.Sprintf("%s: the panels' peak voltage is %s, more than %s: a switch cannot turn it into current, so much is lost", s.name, volts(v), volts(high)), "use panels of 36 cells for each 12 V", s.panel.PeakVoltage.Leaf, s.Panel.InSeries.Leaf)
		}
	})
}

func panelCurrent(r *report) {
	r.systems(func(s system) {
		if i := 1.25 * s.shortCircuit(); r.Current.Set() && above(i, r.Current.Value) {
			r.say(fmt.Sprintf("%s: 1.25 times the panels' short-circuit current is %s, more than the %s of the label: bright clouds and snow give that for minutes", s.name, amps(i), r.Current.Text), "use fewer panels, or a controller for more", s.panel.ShortCircuitCurrent.Leaf, s.Panel.InParallel.Leaf, r.Current.Leaf)
		}
	})
}

// chargeShares are the largest charge currents, as a share of the capacity in Ah.
var chargeShares = map[string]float64{"flooded": 0.2, "gel": 0.2, "agm": 0.3, lfp: 0.5}

func chargeCurrent(r *report) {
	const hour = 3600
	r.systems(func(s system) {
		if s.capacity() == 0 || s.shortCircuit() == 0 {
			return
		}
		share := s.shortCircuit() * hour / s.capacity()
		most, known := chargeShares[s.battery.Chemistry.Text]
		leaves := []product.Leaf{s.panel.ShortCircuitCurrent.Leaf, s.battery.Capacity.Leaf, s.Panel.InParallel.Leaf, s.Battery.InParallel.Leaf}
		switch {
		case known && above(share, most):
			r.say(fmt.Sprintf("%s: the panels can give %s of the capacity for each hour, and %s takes %s", s.name, percent(share), s.battery.Chemistry.Text, percent(most)), "use a larger battery or fewer panels", leaves...)
		case below(share, 0.01):
			r.say(fmt.Sprintf("%s: the panels give at most %s of the capacity for each hour: the battery is never really full", s.name, percent(share)), "use more panels or a smaller battery", leaves...)
		}
	})
}

func batteryFits(r *report) {
	r.systems(func(s system) {
		if s.battery == nil {
			return
		}
		if c := s.battery.Chemistry; c.Set() && r.Chemistry.Set() && !r.soldFor(c.Text) {
			r.say(fmt.Sprintf("%s: the battery is %s, for which the product is not sold", s.name, c.Text), "check the levels for it", c.Leaf, r.Chemistry.Leaf)
		}
		cells := float64(s.battery.Cells.N) * many(s.Battery.InSeries)
		if want := r.cells(s.battery.Chemistry.Text); s.battery.Cells.Set() && want > 0 && math.Abs(cells-want) > 0.5 {
			r.say(fmt.Sprintf("%s: the battery has %.0f cells in series, the product is for %.0f", s.name, cells, want), "check battery.in_series", s.battery.Cells.Leaf, s.Battery.InSeries.Leaf, r.Cells.Leaf)
		}
	})
}

// copper is the resistivity of annealed copper at 20 °C, Ω·m: IEC 60028.
const copper = 1 / 58e6

// dropOf returns the voltage that a lead takes at a current, highest of its spread.
func dropOf(l product.Lead, current float64) float64 {
	wire := 0.0
	if l.Length.Set() && l.Area.Set() {
		wire = 2 * l.Length.High * copper / l.Area.Low
	}
	return current * (wire + l.Contacts.High)
}

func batteryLead(r *report) {
	limit := 0.01 * r.NominalVoltage.Value
	say := func(name string, l product.Lead, current float64, leaves ...product.Leaf) {
		if v := dropOf(l, current); l.Set() && limit > 0 && above(v, limit) {
			r.say(fmt.Sprintf("%s takes up to %s at %s, more than 1 %%: what the controller judges is higher than what the battery has", name, volts(v), amps(current)),
				"make it shorter or thicker, or sense at the battery", append(leaves, l.Leaf)...)
		}
	}
	say("the lead to the battery that the leaflet asks for", r.Sense.Lead, r.Current.Value, r.Current.Leaf)
	r.systems(func(s system) {
		say(s.name+": the lead to the battery", s.Lead.Battery, s.shortCircuit())
	})
}

func panelLead(r *report) {
	r.systems(func(s system) {
		if s.panel == nil || !s.panel.PeakVoltage.Set() || !s.Lead.Panel.Set() {
			return
		}
		limit := 0.03 * s.panel.PeakVoltage.Value * many(s.Panel.InSeries)
		if v := dropOf(s.Lead.Panel, s.shortCircuit()); above(v, limit) {
			r.say(fmt.Sprintf("%s: the panels' lead takes up to %s at %s, more than 3 %%", s.name, volts(v), amps(s.shortCircuit())), "make it shorter or thicker", s.Lead.Panel.Leaf)
		}
	})
}

func facing(r *report) {
	r.systems(func(s system) {
		lat, az, tilt := s.Latitude, s.Panel.Azimuth, s.Panel.Tilt
		if !lat.Set() || !az.Set() || !tilt.Set() || math.Abs(lat.Value) < 10*math.Pi/180 || tilt.Value < 10*math.Pi/180 {
			return
		}
		// Azimuth counts from north, so the noon sun stands where cos(azimuth) is against the latitude's sign.
		if math.Cos(az.Value)*lat.Value > 0 && math.Abs(math.Cos(az.Value)) > 0.1 {
			r.say(s.name+": the panels face away from the noon sun", "azimuth counts from north over east: 180° is south", az.Leaf, lat.Leaf)
		}
	})
}

func yearlySun(r *report) {
	days := [12]float64{31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
	const low, high = 0.8e6 * 3600, 2.6e6 * 3600 // J/m²
	r.systems(func(s system) {
		if len(s.Sun.Items) != 12 {
			return
		}
		year := 0.0
		for i, d := range s.Sun.Items {
			year += d.Value * days[i]
		}
		if outside(year, low, high) {
			r.say(fmt.Sprintf("%s: the year's sun is %s, usual are 800 to 2,600 kWh/m²", s.name, quantity.Format(year, quantity.Irradiation, "kWh/m²", 0)), "check whether it is kWh or MJ; 1 kWh is 3.6 MJ", s.Sun.Leaf)
		}
	})
}
