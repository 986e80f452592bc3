package starter

import (
	"time"

	"hindwatt/internal/quantity"
)

// given is what the answers mean. A nil pointer or zero time is an empty answer.
type given struct {
	name                         string
	price, parts, minutes, spent *quantity.Quantity
	voltage, current             *quantity.Quantity
	sold, cameBack               *quantity.Quantity // whole numbers
	from, until                  time.Time          // first and last day
	untilNow                     bool               // the last day was cut to today
	today                        time.Time          // of the answers
	volts                        float64            // nominal, one of voltages; 0 if not answered
	circuit                      string
	currency                     string
}

// The templates ask for what follows; an empty answer is "" there.

func (g given) Name() string     { return g.name }
func (g given) Circuit() string  { return g.circuit }
func (g given) Currency() string { return g.currency }
func (g given) Price() string    { return text(g.price) }
func (g given) Parts() string    { return text(g.parts) }
func (g given) Minutes() string  { return text(g.minutes) }
func (g given) Kept() []string   { return g.kept() }
func (g given) Lacks() []Lack    { return g.lacks() }
func (g given) Notes() []string  { return g.notes() }

func text(q *quantity.Quantity) string {
	if q == nil {
		return ""
	}
	return q.String()
}

// Money is the currency of commented examples: the maker's, or EUR.
func (g given) Money() string {
	if g.currency == "" {
		return "EUR"
	}
	return g.currency
}

// Volts returns the nominal voltage that the folder is written for, V: 12 unless answered.
func (g given) Volts() float64 {
	if g.volts == 0 {
		return voltages[0]
	}
	return g.volts
}

// Amperes returns the current that the folder is written for, A: 5 unless answered, and of a
// range the upper end, so that nothing is sized too small.
func (g given) Amperes() float64 {
	if g.current == nil {
		return 5
	}
	return g.current.High
}

func (g given) Voltage() string { return plain(g.Volts(), quantity.Voltage) }
func (g given) Current() string { return plain(g.Amperes(), quantity.Current) }

func plain(v float64, d quantity.Dimension) string {
	return quantity.Quantity{Value: v, Low: v, High: v, Dim: d}.String()
}

// VoltageNote and CurrentNote are the comments behind the two.
func (g given) VoltageNote() string { return note(g.voltage, "the usual small system") }
func (g given) CurrentNote() string { return note(g.current, "a usual small controller") }

func note(q *quantity.Quantity, typical string) string {
	switch {
	case q == nil:
		return "# typical: " + typical
	case q.Low != q.High:
		return "# of your " + q.String()
	}
	return "# of the label"
}

// Shunt tells whether the switch lies across the panel.
func (g given) Shunt() bool { return g.circuit == "shunt" }

// HasSchottky, HasN and HasP tell which parts the circuit needs; all of them while it is open.
func (g given) HasSchottky() bool { return g.circuit != "back-to-back" }
func (g given) HasN() bool        { return g.circuit != "series-positive" }
func (g given) HasP() bool        { return g.circuit == "series-positive" || g.circuit == "" }
