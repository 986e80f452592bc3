package hardware

import (
	"math"
	"slices"
)

// point writes down what the unit settled at.
func (u *Unit) point() *Point {
	p := &Point{Parts: make([]Part, len(u.parts))}
	for i := range u.parts {
		p.Parts[i] = u.part(i)
		p.Loss += p.Parts[i].Loss.Sum()
		if u.d.enclosure(u.d.Components[i].In) >= 0 {
			p.In += p.Parts[i].Loss.Sum()
		}
	}
	u.terminals(p)
	u.drive(p)
	u.cases(p)
	u.doubts(p)
	p.Outlying = u.heat.assembly.Outlying()
	return p
}

func (u *Unit) part(i int) Part {
	mean, square := u.currents(i)
	out := Part{Name: u.d.Components[i].Name, Mean: mean, RMS: math.Sqrt(square), Loss: u.parted(i), At: u.temps[i], Tightest: -1}
	k := 0
	if u.s.Night || u.s.Duty == 0 {
		k = 1
	}
	out.Drop = u.state[k][i].across
	u.judge(i)
	out.Limits = append(out.Limits, u.limits[i]...)
	for k, l := range out.Limits {
		if out.Tightest < 0 || l.Excess() > out.Limits[out.Tightest].Excess() {
			out.Tightest = k
		}
	}
	return out
}

// terminals sums what passes the six terminals. The network at rest gives the battery what the edges and the leads lose: it is
// taken off again.
func (u *Unit) terminals(p *Point) {
	for k, share := range u.share() {
		if share == 0 {
			continue
		}
		w := u.network(k)
		at := func(plus, minus string) float64 { return u.level(w, plus) - u.level(w, minus) }
		panel, battery := -w.solution.Current(w.panel), w.solution.Current(w.battery)
		load := w.solution.Current(w.current) + w.solution.Current(w.resists)
		p.PanelCurrent += share * panel
		p.BatteryCurrent += share * battery
		p.LoadCurrent += share * load
		p.PanelPower += share * panel * at(PanelPlus, PanelMinus)
		p.BatteryPower += share * battery * at(BatteryPlus, BatteryMinus)
		p.LoadPower += share * load * at(LoadPlus, LoadMinus)
		if k == 0 {
			p.PanelDrop = at(PanelPlus, PanelMinus) - at(BatteryPlus, BatteryMinus)
		}
		if u.s.LoadOn && (k == 0 || u.share()[0] == 0) {
			p.LoadDrop = at(BatteryPlus, BatteryMinus) - at(LoadPlus, LoadMinus)
		}
	}
	beside := 0.0
	for i := range u.extra {
		beside += u.extra[i].Switching + u.extra[i].Clamping
	}
	p.Standby = p.PanelCurrent - p.BatteryCurrent - p.LoadCurrent
	p.BatteryPower -= beside // [U9]
	if v := u.outside.Battery.EMF; v > 0 {
		p.BatteryCurrent -= beside / v
	}
}

// drive says what the control gives the gates; it is off the control's own heat already.
func (u *Unit) drive(p *Point) {
	p.Drive = u.given()
	i := u.controls()
	if i >= 0 && p.Parts[i].Loss.Conduction < -1e-6 {
		p.Warnings = append(p.Warnings, Warning{u.d.Components[i].Name, "its current is less than the gates take that it drives", "measure current and sleep_current with the drivers"})
	}
}

// given is the mean power that drivers give the gates, W.
func (u *Unit) given() (p float64) {
	for k, share := range u.share() {
		if share == 0 {
			continue
		}
		w := u.network(k)
		for _, id := range w.drivers {
			if id != none {
				p -= share * w.solution.Power(id)
			}
		}
	}
	return p
}

// controls is the first control, −1 for none.
func (u *Unit) controls() int {
	return slices.IndexFunc(u.d.Components, func(c Component) bool { return c.Control != nil })
}

func (u *Unit) cases(p *Point) {
	a := u.heat.assembly
	for i := range u.d.Enclosures {
		c := Case{Name: u.d.Enclosures[i].Name, Surface: a.Temperature(a.Surface[i]), Inner: a.Temperature(a.Inner[i]), Board: a.Temperature(a.Board[i])}
		c.Heat = u.heat.walls[i] * (a.Temperature(a.Wall[i]) - c.Surface)
		p.Cases = append(p.Cases, c)
	}
}

// doubts says what was assumed.
func (u *Unit) doubts(p *Point) {
	warn := func(at, text, remedy string) { p.Warnings = append(p.Warnings, Warning{at, text, remedy}) }
	if u.cycles() {
		if u.d.Frequency == nil {
			warn("regulation.frequency", "it is not given, so no loss at the edges of the switch is counted", "regulation.frequency")
		}
		for i := range u.parts {
			if c := &u.d.Components[i]; c.Role == "switch" && u.parts[i].kind == "mosfet" && u.parts[i].edge == 0 {
				warn(c.Name, "its edges are not known, so no loss at them is counted", "part."+c.Part+".gate_drain_charge and gate_resistance")
			}
		}
	}
}
