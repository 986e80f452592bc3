package charge

import (
	"fmt"

	"hindwatt/internal/page"
	"hindwatt/internal/physics/battery"
	"hindwatt/internal/physics/panel"
	"hindwatt/internal/quantity"
)

func (r *Result) tables(b *beside) []page.Table {
	list := []page.Table{r.yearTable(), r.besideTable(b), r.balanceTable(b)}
	if r.model.cell.Chemistry.Lead() {
		list = append(list, r.ventTable(b))
	}
	return list
}

// yearTable tells every quantity.
func (r *Result) yearTable() page.Table {
	t := page.Table{Title: "A year in " + r.Input.Installation, Head: []string{"what", "mean", "in 95 of 100 years"}, Align: "lrr",
		Note: fmt.Sprintf("%d years, each with a unit of its own; %s.", len(r.Years), r.variability())}
	for _, o := range r.Outcomes {
		i := o.Next(usualConfidence)
		t.Rows = append(t.Rows, []string{o.aim.axis, o.figure(i.Best), between(o.figure(i.Low), o.figure(i.High))})
	}
	return t
}

// besideTable lays the ends of the setpoint's spread, and no controller, beside the nominal unit.
func (r *Result) besideTable(b *beside) page.Table {
	t := page.Table{Title: fmt.Sprintf("The same %d years with other controllers", shownYears),
		Head: []string{"what", "as written", "a unit that holds low", "a unit that holds high", "switch stuck on", "no controller"}, Align: "lrrrrr"}
	if e := r.Input.Regulation.Error; e != nil {
		t.Note = fmt.Sprintf("Low and high: %+.2f V and %+.2f V from the target, the ends of 95 %% of units by the setpoint study.", e.Quantity.Low, e.Quantity.High)
	}
	for _, o := range r.Outcomes {
		row := []string{o.aim.axis}
		for _, years := range [][]Year{b.own, b.low, b.high, b.stuck, b.bare} {
			row = append(row, o.figure(mean(years, o.aim.of)))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// balanceTable tells where the energy went.
func (r *Result) balanceTable(b *beside) page.Table {
	t := page.Table{Title: "Where the energy of a year goes", Head: []string{"what", "energy", "charge"}, Align: "lrr",
		Note: fmt.Sprintf("The nominal unit, mean of %d years. What is spilled, or not met, counts at the battery's voltage.", shownYears)}
	row := func(name string, energy, charge func(y *Year) float64) {
		cells := []string{name, watthours(mean(b.own, energy)), ""}
		if charge != nil {
			cells[2] = quantity.Format(mean(b.own, charge), quantity.Charge, "Ah", -3)
		}
		t.Rows = append(t.Rows, cells)
	}
	t.Rows = append(t.Rows, []string{"at the panel's maximum power, which this controller does not seek", watthours(b.peak), ""})
	row("possible through this controller", func(y *Year) float64 { return y.ChargedEnergy + y.PathEnergy + y.SpilledEnergy }, func(y *Year) float64 { return y.Charged + y.Spilled })
	row("spilled by regulation", func(y *Year) float64 { return y.SpilledEnergy }, func(y *Year) float64 { return y.Spilled })
	row("lost between panel and battery", func(y *Year) float64 { return y.PathEnergy }, nil)
	row("taken at the battery", func(y *Year) float64 { return y.ChargedEnergy }, func(y *Year) float64 { return y.Charged })
	if r.model.cell.Chemistry.Lead() {
		row("gassed", func(y *Year) float64 { return y.GasEnergy }, func(y *Year) float64 { return y.Gas })
	}
	row("lost in the battery, or stored", func(y *Year) float64 { return y.StoredEnergy }, func(y *Year) float64 { return y.Stored })
	row("drawn by the controller, and leaked at night", func(y *Year) float64 { return y.StandbyEnergy + y.LeakEnergy }, func(y *Year) float64 { return y.Standby + y.Leak })
	row("delivered to the loads", func(y *Year) float64 { return y.LoadEnergy }, func(y *Year) float64 { return y.Load })
	if unmet := func(y *Year) float64 { return y.Unmet }; mean(b.own, unmet) > 0 {
		row("not met of what the loads asked for", func(y *Year) float64 { return y.Unmet * r.model.rest() }, unmet)
	}
	return t
}

// A vent is one reason for fresh air.
type vent struct {
	name          string
	gas           float64 // mA/Ah
	flow, opening float64 // m³/s, m²
}

// vents are the reasons for fresh air [CH8].
func (r *Result) vents(b *beside) []vent {
	m := r.model
	capacity := m.rated
	peak := 0.0
	for i := range r.Years {
		peak = max(peak, r.Years[i].GasPeak)
	}
	bright := m.panel.At(panel.ReferenceIrradiance, panel.ReferenceTemperature).ShortCircuit()
	perAh := 1000 * ah / capacity
	list := []vent{
		{name: "floating, by the standard's table", gas: m.cell.Vent.Float}, {name: "boosted, by the standard's table", gas: m.cell.Vent.Boost},
		{name: "largest gassing in the years", gas: (peak - m.whole.Recombined(peak)) * perAh},
		{name: "switch stuck on, largest minute of the years, nothing recombining", gas: most(b.stuck, func(y *Year) float64 { return y.GasPeak }) * perAh},
		{name: "switch stuck on, all of the panel's current in full sun", gas: bright * perAh},
	}
	for i := range list {
		list[i].flow, list[i].opening = battery.Ventilation(m.count, list[i].gas, capacity)
	}
	return list
}

func (r *Result) ventTable(b *beside) page.Table {
	t := page.Table{Title: "Fresh air against hydrogen", Head: []string{"because of", "gassing current", "air", "openings, each of two"}, Align: "lrrr",
		Note: "IEC 62485-2: hydrogen below 4 %, with a safety factor of 5. Openings follow the largest row; local rules may ask for more."}
	for _, v := range r.vents(b) {
		t.Rows = append(t.Rows, []string{v.name, digits(v.gas, 2) + " mA/Ah", digits(v.flow*3600, 2) + " m³/h", digits(v.opening*1e4, 2) + " cm²"})
	}
	return t
}
