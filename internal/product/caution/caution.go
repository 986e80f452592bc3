// Package caution looks at a product with an engineer's eye: what in the folder's
// values would make a practitioner stop and ask?
//
// Each check is one small function of the table in checks.go. A check for which the
// folder has no values says nothing; what it says is a caution and no verdict: the
// studies compute. Limits for "12 V" are per six lead cells or four cells of
// lithium-iron-phosphate and are scaled to the product.
//
// Sources: every caution names its own. "common practice" has no single source; "from
// memory" is a text that was not at hand when the limit was written down.
package caution

import (
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
)

// Caution is something in the folder that a practitioner would question.
type Caution struct {
	Check   string // its name in the table: "converter-saturates"
	Study   string // the study on whose page it belongs: "setpoint", "rating", …
	Text    string // what is so, and why that matters
	Remedy  string // what would mend it
	Source  string // of the limit
	Safety  bool   // somebody or something may come to harm
	Origins []product.Origin
}

// From returns where the values stand: "product.toml:12, product.toml:31".
func (c Caution) From() string {
	var places []string
	for _, o := range c.Origins {
		if !slices.Contains(places, o.String()) {
			places = append(places, o.String())
		}
	}
	return strings.Join(places, ", ")
}

// String returns text, source and remedy in one line.
func (c Caution) String() string {
	return fmt.Sprintf("%s (%s); %s", c.Text, c.Source, c.Remedy)
}

// Of returns what there is to question in a product: first what concerns safety, else
// in the order of the table.
func Of(p *product.Product) []Caution {
	var all []Caution
	for _, c := range checks {
		r := report{Product: p}
		c.look(&r)
		for _, found := range r.found {
			found.Check, found.Study, found.Source = c.name, c.study, c.source
			found.Safety = c.safety
			all = append(all, found)
		}
	}
	slices.SortStableFunc(all, func(a, b Caution) int {
		switch {
		case a.Safety == b.Safety:
			return 0
		case a.Safety:
			return -1
		}
		return 1
	})
	return all
}

// check is one row of the table.
type check struct {
	name, study string
	source      string
	safety      bool
	look        func(r *report)
}

// report is what a check sees, and where it says what it found.
type report struct {
	*product.Product
	found []Caution
}

// say adds a caution; leaves are the values that it is about.
func (r *report) say(text, remedy string, leaves ...product.Leaf) {
	c := Caution{Text: text, Remedy: remedy}
	for _, l := range leaves {
		if l.Set() {
			c.Origins = append(c.Origins, l.Origin)
		}
	}
	r.found = append(r.found, c)
}

const zeroCelsius = 273.15 // K

// reference is the temperature to which setpoints refer: docs/folder.md.
const reference = zeroCelsius + 25

func volts(v float64) string {
	if abs(v) < 0.1 {
		return brief(quantity.Format(v, quantity.Voltage, "", -2))
	}
	return brief(quantity.Format(v, quantity.Voltage, "V", 2))
}

func amps(a float64) string { return brief(quantity.Format(a, quantity.Current, "", -3)) }
func degrees(t float64) string {
	return brief(quantity.Format(t, quantity.TemperaturePoint, "°C", -3))
}
func percent(x float64) string { return brief(quantity.Format(x, quantity.Ratio, "%", -3)) }

// brief drops the zeros behind the point of "60.00 V", which here are no precision.
func brief(text string) string {
	number, unit, _ := strings.Cut(text, " ")
	if strings.Contains(number, ".") {
		number = strings.TrimSuffix(strings.TrimRight(number, "0"), ".")
	}
	return number + " " + unit
}

// rounding is what a comparison of decimal numbers may be off by.
const rounding = 1e-9

func below(x, limit float64) bool { return x < limit-rounding*max(1, abs(limit)) }
func above(x, limit float64) bool { return x > limit+rounding*max(1, abs(limit)) }

func abs(x float64) float64 { return max(x, -x) }

// outside reports whether x lies outside low..high.
func outside(x, low, high float64) bool { return below(x, low) || above(x, high) }

const lfp = "lithium-iron-phosphate"

// soldFor reports whether the product is sold for one of these chemistries.
func (r *report) soldFor(chemistries ...string) bool {
	for _, c := range r.Chemistry.Items {
		if slices.Contains(chemistries, c.Text) {
			return true
		}
	}
	return false
}

// lead reports whether the product is sold for lead batteries.
func (r *report) lead() bool { return r.soldFor("flooded", "agm", "gel") }

// cells returns the number of cells in series for a chemistry, as docs/folder.md has it.
func (r *report) cells(chemistry string) float64 {
	if r.Cells.Set() {
		return float64(r.Cells.N)
	}
	if chemistry == lfp {
		return r.NominalVoltage.Value / 3.2
	}
	return r.NominalVoltage.Value / 2
}

// blocks returns how many times 12 V the battery is.
func (r *report) blocks() float64 {
	if r.lead() || !r.soldFor(lfp) {
		return r.cells("flooded") / 6
	}
	return r.cells(lfp) / 4
}

// levels returns the charge levels that are set, with their names.
func (r *report) levels() (all []level) {
	g := &r.Regulation
	for _, l := range []level{{"absorption", g.Absorption}, {"float", g.Float}, {"equalise", g.Equalise}} {
		if l.Set() {
			all = append(all, l)
		}
	}
	return all
}

type level struct {
	name string
	product.Level
}

func (l level) volts() float64 { return l.Held.Level.Value }

// ambients returns the temperatures that promises and places name, lowest and highest.
func (r *report) ambients() (low, high float64, ok bool) {
	low, high = reference, reference
	take := func(a, b float64) {
		low, high, ok = min(low, a), max(high, b), true
	}
	for _, one := range r.Promises.All() {
		if a := one.Conditions.Ambient; a.Set() {
			take(a.Low, a.High)
		}
	}
	for _, i := range r.Installations.All() {
		if t, known := coldest(i); known {
			take(t, hottest(i))
		}
	}
	return low, high, ok
}

// coldest returns the lowest monthly mean of an installation less half its daily swing.
func coldest(i *product.Installation) (t float64, ok bool) {
	for n, a := range i.Air.Items {
		if v := a.Value - i.Swing.Value/2; n == 0 || v < t {
			t, ok = v, true
		}
	}
	return t, ok
}

func hottest(i *product.Installation) (t float64) {
	for _, a := range i.Air.Items {
		t = max(t, a.Value+i.Swing.Value/2)
	}
	return t
}

// compensated returns a level at a temperature.
func (r *report) compensated(volts, temperature float64) float64 {
	g := &r.Regulation
	if g.CompensationLimits.Set() {
		temperature = min(max(temperature, g.CompensationLimits.Low), g.CompensationLimits.High)
	}
	return volts + g.TemperatureCompensation.Value*(temperature-reference)
}

// highest returns the highest level over the temperatures that may occur, and at which
// it is reached.
func (r *report) highest() (volts, temperature float64, of level, ok bool) {
	low, high, _ := r.ambients()
	if g := r.Regulation.CompensationLimits; g.Set() {
		low, high = min(low, g.Low), max(high, g.High)
	}
	for _, l := range r.levels() {
		for _, t := range []float64{reference, low, high} {
			if v := r.compensated(l.volts(), t); !ok || v > volts {
				volts, temperature, of, ok = v, t, l, true
			}
		}
	}
	if g := r.Regulation.CompensationLimits; ok && g.Set() {
		temperature = min(max(temperature, g.Low), g.High)
	}
	return volts, temperature, of, ok
}
