package product

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"hindwatt/internal/product/tree"
	"hindwatt/internal/quantity"
)

// column is one of the quantities that stand side by side in a text.
type column struct {
	dim  quantity.Dimension
	into *quantity.Quantity
}

// columns reads "3 A 0.41 V 25 °C": one quantity of each dimension, in any order.
// Each must be above 0; a temperature may be anything.
func (d *decoder) columns(n *tree.Node, at place, example string, columns ...column) {
	want := "want " + example
	text, ok := d.text(n, at, want)
	if !ok {
		return
	}
	fields := fieldsOf(text)
	if len(fields) != 2*len(columns) {
		d.faults.Add(n.Fault(at.key, "is not "+strconv.Itoa(len(columns))+" quantities", want+", each number with its unit"))
		return
	}
	seen := map[quantity.Dimension]bool{}
	for i := 0; i < len(fields); i += 2 {
		first, last := fields[i], fields[i+1]
		q, err := quantity.Parse(text[first.start:last.end])
		before := utf8.RuneCountInString(text[:first.start])
		if err != nil {
			d.inside(n, at.key, err, before)
			return
		}
		width := utf8.RuneCountInString(text[first.start:last.end])
		place := slices.IndexFunc(columns, func(c column) bool { return c.dim == q.Dim })
		switch {
		case place < 0 || seen[q.Dim]:
			d.faults.Add(n.FaultInside(at.key, before+1, width, "there is no place for this "+q.Dim.Name(), want))
			return
		case q.Value <= 0 && !q.Dim.Point:
			d.faults.Add(n.FaultInside(at.key, before+1, width, "out of range", "want more than 0"))
			return
		}
		seen[q.Dim] = true
		*columns[place].into = q
	}
}

type field struct{ start, end int }

// fieldsOf cuts a text at its spaces; a number and its unit are two fields even when
// they are written together.
func fieldsOf(text string) (fields []field) {
	for i := 0; i < len(text); {
		if text[i] == ' ' {
			i++
			continue
		}
		end := i
		for end < len(text) && text[end] != ' ' {
			end++
		}
		number := i
		for number < end && strings.IndexByte("+-.0123456789", text[number]) >= 0 {
			number++
		}
		if number > i && number < end {
			fields = append(fields, field{i, number}, field{number, end})
		} else {
			fields = append(fields, field{i, end})
		}
		i = end
	}
	return fields
}

func (p *Drop) decode(d *decoder, n *tree.Node, at place) {
	d.columns(n, at, `"3 A 0.41 V 25 °C"`, column{quantity.Current, &p.Current},
		column{quantity.Voltage, &p.Voltage}, column{quantity.TemperaturePoint, &p.Temperature})
}

func (s *Stage) decode(d *decoder, n *tree.Node, at place) {
	d.columns(n, at, `"0.5 K/W 1 ms"`, column{quantity.ThermalResistance, &s.Resistance}, column{quantity.Time, &s.Time})
}

func (m *Melting) decode(d *decoder, n *tree.Node, at place) {
	d.columns(n, at, `"20 A 5 s"`, column{quantity.Current, &m.Current}, column{quantity.Time, &m.Time})
}

// Materials are those that a wall can be of.
var Materials = []string{"aluminium", "steel", "abs", "polycarbonate", "polyamide", "pvc", "polyolefin", "epoxy"}

func (w *Wall) decode(d *decoder, n *tree.Node, at place) {
	const want = `want a material and its thickness, such as "aluminium 1.5 mm"`
	text, ok := d.text(n, at, want)
	if !ok {
		return
	}
	material, rest, found := strings.Cut(text, " ")
	if !contains(Materials, material) {
		hint := "want " + listed(Materials)
		if near := tree.Nearest(material, Materials); near != "" {
			hint = "did you mean " + near
		}
		d.faults.Add(n.FaultInside(at.key, 1, utf8.RuneCountInString(material), "unknown material", hint))
		return
	}
	if !found {
		d.faults.Add(n.Fault(at.key, "has no thickness", want))
		return
	}
	thickness, err := quantity.ParseAs(rest, quantity.Length)
	if err != nil {
		d.inside(n, at.key, err, utf8.RuneCountInString(material)+1)
		return
	}
	if thickness.Low <= 0 {
		d.faults.Add(n.Fault(at.key, "out of range", "want more than 0"))
		return
	}
	w.Material, w.Thickness = material, thickness
}

func (p *Prices) decode(d *decoder, n *tree.Node, at place) {
	const want = `want prices such as "1:0.52 EUR, 10:0.41 EUR"`
	text, ok := d.text(n, at, want)
	if !ok {
		return
	}
	from := 0
	for _, entry := range strings.Split(text, ",") {
		before := utf8.RuneCountInString(text[:from])
		from += len(entry) + 1
		count, price, found := strings.Cut(entry, ":")
		first, err := strconv.ParseUint(strings.TrimSpace(count), 10, 31)
		if !found || err != nil || first == 0 {
			d.faults.Add(n.FaultInside(at.key, before+1, utf8.RuneCountInString(entry), "is no number of pieces with a price", want))
			return
		}
		q, err := quantity.ParseAs(price, quantity.Money)
		if err != nil {
			d.inside(n, at.key, err, before+utf8.RuneCountInString(count)+1)
			return
		}
		if last := len(p.Breaks) - 1; q.Low < 0 || last >= 0 && p.Breaks[last].From >= int(first) {
			d.faults.Add(n.FaultInside(at.key, before+1, utf8.RuneCountInString(entry), "out of range", "want rising numbers of pieces and prices of at least 0"))
			return
		}
		d.money = append(d.money, sum{n, at.key, q.Currency})
		p.Breaks = append(p.Breaks, PriceBreak{int(first), q})
	}
}

func (e *Ends) decode(d *decoder, n *tree.Node, at place) {
	const want = `want ends such as "unharmed or recovers"`
	text, ok := d.text(n, at, want)
	if !ok {
		return
	}
	for _, end := range strings.Split(text, " or ") {
		end = strings.TrimSpace(end)
		if end == "" {
			d.faults.Add(n.Fault(at.key, "names no end", want))
			return
		}
		if !contains(EndWords, end) {
			d.faults.Add(n.Fault(at.key, strconv.Quote(end)+" is no end", nearOr(end, EndWords)))
			return
		}
		e.Accepted = append(e.Accepted, end)
	}
}
