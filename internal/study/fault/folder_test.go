package fault

import (
	"fmt"
	"math"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"

	"hindwatt/internal/hardware"
	"hindwatt/internal/quantity"
)

type table = map[string]any

// given makes a value of a text such as "10 A"; a test that writes it wrongly panics.
func given(text string) *Value {
	q, err := quantity.Parse(text)
	if err != nil {
		panic(text + ": " + err.Error())
	}
	return &Value{Quantity: q, From: "test"}
}

func number(v float64) *Value {
	q, _ := quantity.Parse("1 V")
	q.Value, q.Low, q.High = v, v, v
	return &Value{Quantity: q, From: "test"}
}

// read fills the fields of a struct from a table by their names: on_resistance fills OnResistance.
func read(t testing.TB, from table, to any) {
	t.Helper()
	v := reflect.ValueOf(to).Elem()
	for i := range v.NumField() {
		key := ""
		for k, r := range v.Type().Field(i).Name {
			if k > 0 && r >= 'A' && r <= 'Z' {
				key += "_"
			}
			key += strings.ToLower(string(r))
		}
		value, there := from[key]
		if !there {
			continue
		}
		switch f := v.Field(i).Addr().Interface().(type) {
		case **Value:
			*f = written(value)
		case *string:
			*f = value.(string)
		case *int:
			*f = int(value.(int64))
		case *[]hardware.Drop:
			for _, x := range value.([]any) {
				p := several(x.(string))
				*f = append(*f, hardware.Drop{Current: p[0], Voltage: p[1], Temperature: p[2]})
			}
		case *[]hardware.Stage:
			for _, x := range value.([]any) {
				p := several(x.(string))
				*f = append(*f, hardware.Stage{Resistance: p[0], Time: p[1]})
			}
		case *[]hardware.Melting:
			for _, x := range value.([]any) {
				p := several(x.(string))
				*f = append(*f, hardware.Melting{Current: p[0], Time: p[1]})
			}
		case *[]Value:
			for _, x := range strings.Split(value.(string), " x ") {
				*f = append(*f, *given(x))
			}
		default:
			t.Fatalf("%s: no way to fill %T", key, f)
		}
	}
}

func written(v any) *Value {
	switch v := v.(type) {
	case string:
		return given(v)
	case float64:
		return number(v)
	}
	return number(float64(v.(int64)))
}

// several reads "3 A 0.41 V 25 °C".
func several(s string) (out []float64) {
	words := strings.Fields(s)
	for i := 0; i+1 < len(words); i += 2 {
		out = append(out, given(words[i]+" "+words[i+1]).Value)
	}
	return out
}

// order lists the keys below [circuit] as they stand: a table of a library has no order.
func order(text []byte) (names []string) {
	p := unstable.Parser{}
	p.Reset(text)
	in := false
	for p.NextExpression() {
		e := p.Expression()
		key := e.Key()
		key.Next()
		switch {
		case e.Kind == unstable.Table:
			in = string(key.Node().Data) == "circuit"
		case e.Kind == unstable.KeyValue && in:
			names = append(names, string(key.Node().Data))
		}
	}
	return names
}

// design reads a controller from the text of its files.
func design(t testing.TB, product, parts []byte) (hardware.Design, table) {
	t.Helper()
	main, shelf := table{}, table{}
	for _, f := range []struct {
		text []byte
		to   *table
	}{{product, &main}, {parts, &shelf}} {
		if err := toml.Unmarshal(f.text, f.to); err != nil {
			t.Fatal(err)
		}
	}
	d := hardware.Design{From: "product.toml", NominalVoltage: written(main["nominal_voltage"])}
	regulation, _ := main["regulation"].(table)
	d.Method, d.Switch = regulation["method"].(string), regulation["switch"].(string)
	if f := regulation["frequency"]; f != nil {
		d.Frequency = written(f)
	}
	if sense, _ := main["sense"].(table); sense["lead"] != nil {
		d.BatteryLead = &hardware.Lead{}
		read(t, sense["lead"].(table), d.BatteryLead)
	}
	for _, name := range order(product) {
		row := main["circuit"].(table)[name].(table)
		c := hardware.Component{Name: name, At: "product.toml"}
		read(t, row, &c)
		if row["drain"] != nil {
			c.From, c.To = row["drain"].(string), row["source"].(string)
		}
		part, known := shelf["part"].(table)[c.Part].(table)
		if !known {
			t.Fatalf("%s: no part %s", name, c.Part)
		}
		sheet(t, &c, part)
		d.Components = append(d.Components, c)
	}
	for name, e := range main["enclosure"].(table) {
		row := e.(table)
		x := hardware.Enclosure{Name: name, From: "product.toml"}
		if wall, ok := row["wall"].(string); ok {
			material, thick, _ := strings.Cut(wall, " ")
			x.Material, row["wall"] = material, thick
		}
		read(t, row, &x)
		d.Enclosures = append(d.Enclosures, x)
	}
	slices.SortFunc(d.Enclosures, func(a, b hardware.Enclosure) int { return strings.Compare(a.Name, b.Name) })
	return d, main
}

// sheet makes the part of its kind.
func sheet(t testing.TB, c *hardware.Component, part table) {
	c.Kind = part["kind"].(string)
	v := reflect.ValueOf(c).Elem()
	f := v.FieldByName(strings.ToUpper(c.Kind[:1]) + c.Kind[1:])
	f.Set(reflect.New(f.Type().Elem()))
	read(t, part, f.Interface())
}

func file(t testing.TB, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

const root = "../../../"

// osier is the example product, whose data is invented.
func osier(t testing.TB) Input {
	t.Helper()
	d, main := design(t, file(t, root+"demo/osier-24/product.toml"), file(t, root+"demo/osier-24/parts.toml"))
	return Input{Design: d, Label: written(main["current"]), Absorption: given("28.8 V"), Disconnect: given("22.8 V"),
		Compensation: given("-36 mV/K"), CompensationLimits: given("-10..50 °C"),
		Battery: Battery{Chemistry: "agm", Cells: 12, Resistance: given("12 mΩ..45 mΩ"), Capacity: given("80 Ah")}, Seed: 1}
}

// ready is a ready circuit of docs/folder.md with usual parts, for 12 V and 5 A.
func ready(t testing.TB, name string) Input {
	t.Helper()
	_, text, found := strings.Cut(string(file(t, root+"docs/folder.md")), "\n### "+name+"\n")
	if !found {
		t.Fatalf("docs/folder.md has no circuit %s", name)
	}
	text, _, _ = strings.Cut(text, "\n### ")
	text, _, _ = strings.Cut(text, "\n## ")
	var circuit strings.Builder
	for line := range strings.Lines(text) {
		if code, indented := strings.CutPrefix(line, "    "); indented {
			circuit.WriteString(code)
		}
	}
	turned := "series"
	if strings.HasPrefix(name, "shunt") {
		turned = "shunt"
	}
	product := fmt.Sprintf(string(file(t, "testdata/product.toml")), turned, circuit.String())
	d, main := design(t, []byte(product), file(t, "testdata/parts.toml"))
	return Input{Design: d, Label: written(main["current"]), Absorption: given("14.4 V"), Disconnect: given("11.4 V"), Seed: 1}
}

// firstFive are the circuits of "hindwatt new".
var firstFive = []string{"series-negative", "series-negative-lead", "series-positive", "shunt", "back-to-back"}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
