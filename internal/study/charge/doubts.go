package charge

import (
	"fmt"

	"hindwatt/internal/hardware"
	"hindwatt/internal/page"
	"hindwatt/internal/physics/conductor"
)

// doubts are what the installation and the years themselves show.
func (r *Result) doubts() {
	unsolved, stopped := 0, 0.0
	for i := range r.Years {
		unsolved += r.Years[i].Unsolved
		stopped += r.Years[i].Stopped / float64(len(r.Years))
	}
	if unsolved > 0 {
		r.note(page.Note{Text: fmt.Sprintf("%d of %d minutes were not solved to the last digit.", unsolved, len(r.Years)*days*minutes), Remedy: "look for a value of the battery or the panel that cannot be"})
	}
	if stopped > 0 {
		r.note(page.Note{Text: fmt.Sprintf("Charging stood still for %.0f h of daylight a year because of the battery's temperature; that sun counts neither as taken nor as spilled.", stopped/3600)})
	}
	if m := r.model; m.path.Error > 0.02 {
		r.note(page.Note{Text: fmt.Sprintf("Between the points at which the controller was solved, its drop is known to %.0f mV.", 1000*m.path.Error)})
	}
	if g := &r.Input.Regulation; g.Equalise != nil && (g.EqualiseTime == nil || g.AbsorptionTime == nil) {
		r.note(page.Note{Text: "Equalising is left out: it is not said for how long it lasts, or how long absorption does.", Remedy: "write both as \"28.8 V for 2 h\"", From: g.Equalise.From})
	}
	r.usual()
	r.levels()
	r.melts()
	r.currents()
	r.drops()
}

// levels holds the levels to what cells of the battery are charged to, and to each other.
func (r *Result) levels() {
	m, g := r.model, &r.Input.Regulation
	if g.Absorption == nil || g.Method == "none" {
		return
	}
	low, high := 2.2, 2.65 // V a lead cell: common practice, from float to equalising
	if !m.cell.Chemistry.Lead() {
		low, high = 3.3, 3.7
	}
	if v := g.Absorption.Quantity.Value / float64(m.count); v < low || v > high {
		effect := "it is never full"
		if v > high {
			effect = "it is boiled dry or worse"
		}
		r.note(page.Note{Text: fmt.Sprintf("Absorption at %s is %.2f V for each of the %d cells of the battery, which take %.2f V to %.2f V: %s.", volts(g.Absorption.Quantity.Value), v, m.count, low, high, effect),
			Remedy: "check battery.in_series, and whether the product's nominal voltage is the battery's", From: r.Input.Battery.From})
	}
	if g.Float != nil && g.Float.Quantity.Value > g.Absorption.Quantity.Value {
		r.note(page.Note{Text: fmt.Sprintf("Float, %s, is above absorption, %s: the battery is held higher once it is full.", volts(g.Float.Quantity.Value), volts(g.Absorption.Quantity.Value)), Remedy: "exchange the two, or lower float", From: g.Float.From})
	}
}

// melts says that the panels give more than the controller bears in the hottest air of the place, at the next temperature for which it was solved.
func (r *Result) melts() {
	m := r.model
	for _, x := range m.melts {
		if x.air < m.hottestAir() {
			continue
		}
		r.note(page.Note{Text: fmt.Sprintf("From %s on in air of %s, %q of the controller gets hotter without end, and fails; the panels give %s in full sun and up to %s at the edge of a cloud. The years go on as if it lived, with a drop that rises with the current.",
			amperes(x.current), celsius(x.air), x.part, amperes(m.panel.Reference.Photocurrent), amperes(m.most())),
			Remedy: "use smaller panels or a controller for more, and see how much current it can carry", From: r.Input.file()})
		return
	}
}

// currents holds what flows at most to the label and to what the leads carry.
func (r *Result) currents() {
	m, in := r.model, &r.Input
	label := value(in.Label, 0)
	if label > 0 && m.peak > label {
		r.note(page.Note{Text: fmt.Sprintf("The loads draw up to %s together, more than the %s of the label.", amperes(m.peak), amperes(label)), Remedy: "feed a part of them past the controller, with a fuse of its own", From: in.Label.From})
	}
	air := m.hottestAir()
	charge := 1.25 * m.panel.Reference.Photocurrent // bright clouds, as the US National Electrical Code, 690.8(A)
	for _, l := range []struct {
		name  string
		lead  *hardware.Lead
		most  float64
		whose string
	}{{"panels", in.Design.PanelLead, charge, "the panels give in bright clouds"}, {"battery", in.Design.BatteryLead, max(charge, m.peak), "flows at most"}} {
		if l.lead == nil || l.lead.Area == nil {
			continue
		}
		carries, _, err := conductor.Free{Area: l.lead.Area.Quantity.Value}.Ampacity(conductor.PVC.Limit, air)
		if err != nil {
			r.note(page.Note{Text: fmt.Sprintf("What the lead of the %s carries at %s cannot be said: %v.", l.name, celsius(air), err), From: l.lead.From})
			continue
		}
		if l.most > carries {
			r.note(page.Note{Text: fmt.Sprintf("The lead of the %s carries %s where the air is at %s (one wire with PVC in still air), and %s %s.", l.name, amperes(carries), celsius(air), amperes(l.most), l.whose),
				Remedy: "use a thicker lead, and a fuse that protects it", From: l.lead.From})
		}
	}
}

// usualDrop is the share of the voltage that leads may take: common practice, 2 % to 5 %.
const usualDrop = 0.03

// drops holds the leads to the share of the battery's voltage that practice allows them, at the panel's current in full sun.
func (r *Result) drops() {
	m, in := r.model, &r.Input
	rest := m.rest()
	for _, l := range []struct {
		name string
		lead *hardware.Lead
	}{{"panels", in.Design.PanelLead}, {"battery", in.Design.BatteryLead}} {
		if l.lead == nil {
			continue
		}
		drop := m.panel.Reference.Photocurrent * l.lead.Ohms(zero+25)
		if drop > usualDrop*rest {
			r.note(page.Note{Text: fmt.Sprintf("The lead of the %s takes %s of the panels' current in full sun, %s of the battery's voltage; practice allows some %s.", l.name, volts(drop), percent(drop/rest), percent(usualDrop)),
				Remedy: "use a shorter or thicker lead", From: l.lead.From})
		}
	}
}

// hottestAir is that of the warmest month's afternoons, K.
func (m *model) hottestAir() float64 {
	top := 0.0
	for _, x := range m.months {
		top = max(top, x.Air+x.Swing/2)
	}
	return top
}
