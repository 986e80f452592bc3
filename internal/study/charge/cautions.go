package charge

import (
	"fmt"

	"hindwatt/internal/page"
	"hindwatt/internal/physics/battery"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/charge/year"
)

// cautions say what is dangerous about these years.
func (r *Result) cautions(b *beside) []page.Note {
	m := r.model
	switch {
	case !m.cell.Chemistry.Lead():
		return r.lithium(b)
	case m.cell.Chemistry.Sealed():
		return append(r.hydrogen(b), r.heat()...)
	}
	return r.hydrogen(b)
}

// hydrogen says how much fresh air is needed, and for what.
func (r *Result) hydrogen(b *beside) []page.Note {
	vents := r.vents(b)
	worst := vents[0]
	for _, v := range vents {
		if v.opening > worst.opening {
			worst = v
		}
	}
	return []page.Note{{Text: fmt.Sprintf("Hydrogen: the battery needs %s m³ of fresh air an hour (because of: %s): two openings of %s cm² each, low and high.", digits(worst.flow*3600, 2), worst.name, digits(worst.opening*1e4, 2)),
		Remedy: "no tight box, no flame, no spark near it"}}
}

// Above so many volts a cell and so hot a sealed battery may run away: its gas turns into heat, and heat into gas. Common practice.
const (
	runawayVoltage = 2.4
	runawayHeat    = zero + 40
)

// heat says where a sealed battery is held too high while it is hot.
func (r *Result) heat() []page.Note {
	m, hottest := r.model, most(r.Years, func(y *Year) float64 { return y.Hottest })
	if m.in.Regulation.Absorption == nil || r.Input.Regulation.Method == "none" || hottest <= runawayHeat {
		return nil
	}
	u := r.Input.nominal()
	if e := r.Input.Regulation.Error; e != nil {
		u.error = e.Quantity.High
	}
	cell := level(m.regulation(u, change{}), hottest) / float64(m.count)
	if cell <= runawayVoltage {
		return nil
	}
	return []page.Note{{Text: fmt.Sprintf("Heat: a sealed battery at %s is taken to %.2f V a cell by a unit that holds high; above %.1f V when hot it may run away: gas turns into heat, and heat into gas.", celsius(hottest), cell, runawayVoltage),
		Remedy: "lower the absorption level or compensate more, and stop charging above 50 °C (charge_stop_above)"}}
}

// level is that of absorption at a temperature of the battery, V.
func level(g year.Regulation, temperature float64) float64 {
	if g.From != 0 || g.To != 0 {
		temperature = min(max(temperature, g.From), g.To)
	}
	return g.Absorption + float64(g.PerKelvin*(temperature-battery.Warm))
}

// coldShare is the share of a battery's capacity that a year may charge below 0 °C until it is said: less flows in the minute in which the
// protection inside the battery opens (ours).
const coldShare = 1e-3

// lithium says what cold, and a protection that opens, do to cells of lithium iron phosphate.
func (r *Result) lithium(b *beside) (list []page.Note) {
	say := func(text, remedy string) { list = append(list, page.Note{Text: text, Remedy: remedy}) }
	charge := func(v float64) string { return quantity.Format(v, quantity.Charge, "Ah", -2) }
	taken := mean(r.Years, func(y *Year) float64 { return y.FrozenIn })
	if taken > coldShare*r.model.rated {
		say(fmt.Sprintf("Lithium: cells take %s a year below 0 °C, which plates lithium and may end in a fire.", charge(taken)), "stop charging below 0 °C (charge_stop_below), or keep the battery warm")
	}
	if blind := mean(b.cold, func(y *Year) float64 { return y.FrozenIn }); blind > taken {
		say(fmt.Sprintf("Lithium: only the protection inside the battery keeps it from being charged below 0 °C; one that does not know the cold would let %s a year in, which plates lithium.", charge(blind)),
			"ask the battery's maker, or stop charging below 0 °C (charge_stop_below)")
	}
	if times := mean(r.Years, func(y *Year) float64 { return float64(y.Opens) }); times > 0 {
		say(fmt.Sprintf("Lithium: the protection inside the battery opens %s times a year, and stays open for %.0f h.", digits(times, 2), mean(r.Years, func(y *Year) float64 { return y.Opened })/3600),
			"lower the absorption level, or keep the battery warm; a load may be cut off by it as well")
	}
	return append(list, page.Note{Text: "Lithium: when the battery's protection opens in full sun, the controller's output jumps to the panel's open voltage.", Remedy: "see that the parts bear it"})
}
