package product

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"sync"

	"hindwatt/internal/quantity"
)

// spec is what the tags say of one key.
type spec struct {
	key    string
	index  int // of the field
	is     string
	dim    quantity.Dimension
	any    bool // a quantity of any dimension
	bounds []bound
	words  []string
	to     string // "part", "part panel", "enclosure", …
	many   int    // how many entries a list must have; 0: any
	span   bool   // a range that is meant as one, from its low end to its high
	needed string // an example, for a column that every row must have
}

// bound is one limit of a value, with the words of the tag.
type bound struct {
	operator string // > >= < <=
	limit    float64
	text     string
}

// plan is the schema of one table: its keys in order.
type plan struct {
	fields []spec
	byKey  map[string]int
	kinds  map[string]int // fields that hold the keys of one kind of part
}

var plans sync.Map // reflect.Type → *plan

func planOf(t reflect.Type) *plan {
	if p, ok := plans.Load(t); ok {
		return p.(*plan)
	}
	p := &plan{byKey: map[string]int{}, kinds: map[string]int{}}
	for i := range t.NumField() {
		tag := t.Field(i).Tag
		if when := tag.Get("when"); when != "" {
			p.kinds[when] = i
			continue
		}
		if tag.Get("key") == "" {
			continue
		}
		p.byKey[tag.Get("key")] = len(p.fields)
		p.fields = append(p.fields, specOf(tag, i))
	}
	plans.Store(t, p)
	return p
}

// dimensions are the words of the tag "is" that stand for a dimension.
var dimensions = map[string]quantity.Dimension{
	"ratio": quantity.Ratio, "count": quantity.Ratio, "length": quantity.Length, "area": quantity.Area, "time": quantity.Time,
	"frequency": quantity.Frequency, "rate": quantity.Frequency, "current": quantity.Current, "charge": quantity.Charge,
	"temperature": quantity.TemperaturePoint, "temperature difference": quantity.TemperatureDifference,
	"per kelvin": quantity.PerKelvin, "angle": quantity.Angle, "steps": quantity.Step,
	"sum of money": quantity.Money, "rate of money": quantity.Money, "sum of money per time": quantity.MoneyPerTime,
	"power": quantity.Power, "energy": quantity.Energy, "voltage": quantity.Voltage, "resistance": quantity.Resistance,
	"capacitance": quantity.Capacitance, "inductance per length": quantity.Inductance.Div(quantity.Length),
	"voltage per kelvin": quantity.VoltagePerKelvin, "current per kelvin": quantity.CurrentPerKelvin,
	"thermal resistance": quantity.ThermalResistance, "thermal conductivity": quantity.ThermalConductivity,
	"irradiation": quantity.Irradiation, "irradiance": quantity.Irradiance, "melting integral": quantity.MeltingIntegral,
}

// specOf reads a field's tags; a tag that makes no sense is a fault of ours.
func specOf(tag reflect.StructTag, index int) spec {
	s := spec{key: tag.Get("key"), index: index, is: tag.Get("is"), to: tag.Get("to"), needed: tag.Get("needed"), span: tag.Get("span") != ""}
	s.any = strings.HasPrefix(s.is, "any")
	s.dim = dimensions[s.is]
	if words := tag.Get("one"); strings.Contains(words, "|") {
		s.words = strings.Split(words, "|")
	} else {
		s.words = strings.Fields(words)
	}
	s.many, _ = strconv.Atoi(tag.Get("many"))
	if in := tag.Get("in"); in != "" {
		for _, text := range strings.Split(in, ", ") {
			s.bounds = append(s.bounds, boundOf(text, s.dim))
		}
	}
	return s
}

func boundOf(text string, dim quantity.Dimension) bound {
	operator, value, _ := strings.Cut(text, " ")
	b := bound{operator: operator, text: value}
	if limit, err := strconv.ParseFloat(value, 64); err == nil {
		b.limit = limit
		return b
	}
	q, err := quantity.ParseAs(value, dim)
	if err != nil {
		panic(fmt.Sprintf("schema: %q: %v", text, err))
	}
	b.limit = q.Value
	return b
}

func (b bound) holds(v float64) bool {
	switch b.operator {
	case ">":
		return v > b.limit
	case ">=":
		return v >= b.limit
	case "<":
		return v < b.limit
	}
	return v <= b.limit
}

// wanted says in words what all bounds ask for: "want more than 0 and at most 1".
func (s *spec) wanted() string {
	words := map[string]string{">": "more than ", ">=": "at least ", "<": "less than ", "<=": "at most "}
	var parts []string
	for _, b := range s.bounds {
		parts = append(parts, words[b.operator]+b.text)
	}
	return "want " + strings.Join(parts, " and ")
}

// outside returns whether a quantity leaves the bounds, and whether its value does
// or only its spread.
func (s *spec) outside(q quantity.Quantity) (outside, value bool) {
	for _, b := range s.bounds {
		if !b.holds(q.Value) {
			return true, true
		}
		if !b.holds(q.Low) || !b.holds(q.High) {
			outside = true
		}
	}
	return outside, false
}
